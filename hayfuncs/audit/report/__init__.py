"""The audit as a workbook: summary, findings, maps, derivations, ledgers."""
