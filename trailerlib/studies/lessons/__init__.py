"""Lessons for an apprentice: questions with one number for an answer, the slips they meet, one slider each."""
