#!/usr/bin/python3
"""Validates job files by a JSON Schema, as an editor would: validate.py SCHEMA UNSEEN DOCUMENTS

Every file of fixtures is read by the rules of YAML 1.1 (yes is true, << merges) and of YAML 1.2 (yes is a
text, << is a key like any other). Prints TAP without numbers. What was read goes to DOCUMENTS, one JSON
object a line, with the verdict, for a second validator.
"""
import glob
import json
import re
import sys

import jsonschema
import yaml

MOST_NODES = 100000      # with aliases written out: editors give up sooner


class Refused(Exception):
    """What an editor's YAML reader underlines before any schema is asked."""


class Reader(yaml.SafeLoader):
    """YAML 1.1, as PyYAML reads it."""


class Reader12(yaml.SafeLoader):
    """The core schema of YAML 1.2."""
    yaml_implicit_resolvers = {}


for tag, pattern, first in (
        ("bool", r"^(true|True|TRUE|false|False|FALSE)$", "tTfF"),
        ("null", r"^(~|null|Null|NULL|)$", ["~", "n", "N", ""]),
        ("int", r"^[-+]?[0-9]+$", "-+0123456789"),
        ("float", r"^[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?$", "-+.0123456789")):
    Reader12.add_implicit_resolver("tag:yaml.org,2002:" + tag, re.compile(pattern), first)


class Tree:
    def __init__(self, reader, merges):
        self.reader, self.merges, self.left = reader, merges, MOST_NODES

    def key(self, node):
        if not isinstance(node, yaml.ScalarNode):
            raise Refused("a key that is no text")
        return node.value

    def scalar(self, node):
        kind = node.tag.rpartition(":")[2]
        if not node.tag.startswith("tag:yaml.org,2002:") or kind == "binary":
            raise Refused("a tag")
        if kind == "null":
            return None
        if kind == "bool":
            return node.value.lower() in ("yes", "true", "on", "y")
        if kind in ("int", "float"):
            number = self.reader("").construct_yaml_float(node) if kind == "float" \
                else self.reader("").construct_yaml_int(node)
            return number if abs(number) < float("inf") else node.value
        return node.value

    def mapping(self, node, open_nodes):
        found, merged = {}, {}
        for key, value in node.value:
            name = self.key(key)
            if self.merges and key.tag.endswith(":merge"):
                several = value.value if isinstance(value, yaml.SequenceNode) else [value]
                for one in several:
                    if not isinstance(one, yaml.MappingNode):
                        raise Refused("<< takes a mapping")
                    merged = {**self.convert(one, open_nodes), **merged}
            elif name in found:
                raise Refused("two keys " + name)
            else:
                found[name] = self.convert(value, open_nodes)
        return {**merged, **found}

    def convert(self, node, open_nodes=()):
        self.left -= 1
        if self.left < 0 or id(node) in open_nodes:
            raise Refused("aliases without end")
        if isinstance(node, yaml.ScalarNode):
            return self.scalar(node)
        inside = open_nodes + (id(node),)
        if isinstance(node, yaml.SequenceNode):
            return [self.convert(item, inside) for item in node.value]
        return self.mapping(node, inside)


def read(path, reader, merges):
    with open(path, "rb") as file:
        try:
            node = yaml.compose(file.read(), reader)
            return None if node is None else Tree(reader, merges).convert(node)
        except (yaml.YAMLError, UnicodeDecodeError, RecursionError) as error:
            raise Refused(type(error).__name__) from error


def defaults(schema):
    """Every default and example with the schema that it has to fit."""
    if isinstance(schema, dict):
        for word in [schema[k] for k in ("default",) if k in schema] + list(schema.get("examples", [])):
            yield word, schema
    for part in schema.values() if isinstance(schema, dict) else schema if isinstance(schema, list) else ():
        yield from defaults(part)


def main():
    schema = json.load(open(sys.argv[1], encoding="utf-8"))
    unseen = dict(line.rstrip("\n").split("\t") for line in open(sys.argv[2], encoding="utf-8")
                  if line.strip() and not line.startswith("#"))
    failed = False
    documents = open(sys.argv[3], "w", encoding="utf-8")

    def tell(good, name):
        nonlocal failed
        failed = failed or not good
        print("ok" if good else "not ok", name)

    jsonschema.Draft7Validator.check_schema(schema)
    tell(True, "the schema is a draft-07 schema")
    validator = jsonschema.Draft7Validator(schema)
    for word, where in defaults(schema):
        part = jsonschema.Draft7Validator({**where, "definitions": schema["definitions"]})
        if not part.is_valid(word):
            tell(False, f"the default or example {word!r} fits")
    tell(True, "defaults and examples are looked at")

    bad = sorted(glob.glob("fixtures/bad/*.yaml"))
    for path in sorted(glob.glob("fixtures/jobs/*.yaml") + glob.glob("fixtures/good-odd/*.yaml")) + bad + sys.argv[4:]:
        name = path.rpartition("/")[2].removesuffix(".yaml")
        good = path not in bad or name in unseen
        for version, reader, merges in (("1.1", Reader, True), ("1.2", Reader12, False)):
            errors = []
            try:
                document = read(path, reader, merges)
                errors = list(validator.iter_errors(document))
                documents.write(json.dumps({"name": f"{path} ({version})", "valid": not errors,
                                            "document": document}) + "\n")
                seen = bool(errors)
            except Refused:
                seen = True
            if seen == good:
                for error in errors[:3]:
                    print("#", list(error.absolute_path), error.validator, str(error.instance)[:60])
            word = "accepted" if good else "refused"
            tell(seen != good, f"{path} is {word} (YAML {version})" +
                 (": " + unseen[name] if path in bad and good else ""))
    for name in unseen:
        tell(f"fixtures/bad/{name}.yaml" in bad, f"{name} is there")
    documents.close()
    return failed


sys.exit(main())
