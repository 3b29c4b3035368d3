"""What a person writes about a boat: the models, the file they are kept in, and its saving."""
