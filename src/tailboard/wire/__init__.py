"""Packets as the open standards have them: bytes to frozen records and back. No sockets, standard library only."""
