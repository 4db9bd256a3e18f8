"""Pages for people: answers, the job sheet, guides, problems. They work without any script."""
