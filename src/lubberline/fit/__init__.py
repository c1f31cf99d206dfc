"""The rules that turn pilot, airplane and flight into findings."""
