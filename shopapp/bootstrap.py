def prepare(argv): pass
