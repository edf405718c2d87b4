"""What happens to every item? Layout and Scenario -> Run."""
