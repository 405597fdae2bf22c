"""What goes with exported evidence so that it stands without us: a script to check it (verify.py, standard library only) and a README."""
