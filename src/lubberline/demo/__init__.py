"""The invented region, airplane, pilot and flights."""
