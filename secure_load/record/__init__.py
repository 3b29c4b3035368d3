"""The stowage record: what is aboard, where, what holds it, and what was found, on paper for the next person.

Everything here is plain text or plain data. The caller passes the time, so that the same boat on the same day
gives the same bytes.
"""
