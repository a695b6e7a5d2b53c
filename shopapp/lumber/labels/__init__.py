"""Sheets of labels with marks and square codes, for boards that chalk does not hold on."""
