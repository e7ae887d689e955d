"""What was said: numbers, exercises and cues, found over one spaCy Doc."""
