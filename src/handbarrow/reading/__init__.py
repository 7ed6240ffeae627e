"""From the text of a file to values with places: YAML, formulas, and getters that collect findings.

The only room that knows YAML and the formula library. Everything that people can get wrong becomes a finding.
"""
