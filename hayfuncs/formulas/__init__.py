"""One formula in every spelling: template, LAMBDA names, in figures."""
