"""The terminal form: what the owner sees and types. It works nothing out itself; it asks the rooms below."""
