"""What changes a thread's size or fit besides the cut: coating, hardening, errors of form."""
