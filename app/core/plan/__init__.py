"""The plan: changes of height, who does what when, how long the rest takes."""
