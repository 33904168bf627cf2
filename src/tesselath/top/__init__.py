"""The whole top: hours, shopping and test cuts."""
