"""Finds what can be broken in the source of a check, and writes the source with every break in it, each behind a switch.

Clang's syntax tree says where an operator, a constant or a `return;` begins and ends, so that comments, strings and
template arguments are never taken for code."""

import json
import re
import subprocess
from dataclasses import dataclass
from pathlib import Path

# What an operator is turned into, one mutant each, and the name of the switch in mutants.hpp that does it.
COMPARISONS = {"<": ("less", ["<=", ">="]), "<=": ("at_most", ["<", ">"]), ">": ("more", [">=", "<="]),
               ">=": ("at_least", [">", "<"]), "==": ("equal", ["!="]), "!=": ("unequal", ["=="])}
ARITHMETIC = {"+": ("plus", ["-"]), "-": ("minus", ["+"]), "*": ("times", ["/"]), "/": ("over", ["*"])}
ASSIGNMENTS = {"+=": ("add", ["-="]), "-=": ("subtract", ["+="]), "*=": ("multiply", ["/="]), "/=": ("divide", ["*="])}
EXACTLY = ("<", "<=", ">", ">=")  # turned into the first: it differs where both sides are equal
LOGICAL = {"&&": ["||"], "||": ["&&"]}
SEVERITIES = {"note": "warning", "warning": "note", "error": "warning"}
# Arguments of these are decimals and words of a sentence.
WORDING_CALLS = ("figure", "format", "plural")


def is_real(node):
    return node.get("type", {}).get("qualType", "").removeprefix("const ") in ("double", "float")


@dataclass
class Mutant:
    check: str
    file: str  # relative to lib/src/checks
    line: int
    column: int
    kind: str  # comparison, limit, logic, arithmetic, constant, threshold, severity, return, condition, bool
    code: str  # the line of source, stripped
    change: str
    id: int = 0

    @property
    def key(self):
        """Holds while lines above it come and go."""
        return (self.file, self.code, self.change)

    @property
    def place(self):
        return (self.file, self.line, self.column, self.change)


@dataclass
class Edit:
    begin: int
    end: int
    pieces: list  # (offset, length, text): what stands there is replaced
    mutants: list  # in the order of their numbers
    line: int


class Finder:
    def __init__(self, tree: Path, check: str):
        self.check = check
        self.lib = tree / "lib"
        self.folder = "src/checks/" + check + "/"
        self.sources = {}
        self.edits = {}
        self.file = None
        self.seen = set()

    def find(self):
        """Edits by file, sorted by place."""
        command = ["clang++", "-std=c++20", "-fsyntax-only", "-w", "-Isrc", "-Iinclude", "-Xclang", "-ast-dump=json", "-Xclang",
                   "-ast-dump-filter=checks::" + self.check, self.folder + "check.cpp"]
        for node in self.syntax_trees(command):
            self.locate(node)
            self.visit(node, [])
        return {file: sorted(edits, key=lambda e: e.begin) for file, edits in self.edits.items()}

    def syntax_trees(self, command):
        """Clang 14 prints the name of a conversion from memory that it never set: at times it crashes on that or prints what
        is no text. Then it is asked again."""
        for _ in range(8):
            done = subprocess.run(command, cwd=self.lib, capture_output=True, check=False)
            dump = done.stdout.decode(errors="replace")
            nodes, decoder, at = [], json.JSONDecoder(strict=False), dump.find("{")
            try:
                while at >= 0:
                    node, at = decoder.raw_decode(dump, at)
                    nodes.append(node)
                    at = dump.find("{", at)
            except json.JSONDecodeError:
                continue
            if done.returncode == 0:
                return nodes
        raise RuntimeError("no syntax tree of " + self.check + "\n" + done.stderr.decode(errors="replace")[:2000])

    def locate(self, node):
        """A file is named only where it differs from the one named before: writes it to every place."""
        for key, value in node.items():
            if key in ("loc", "begin", "end", "spellingLoc", "expansionLoc") and isinstance(value, dict):
                if "file" in value:
                    self.file = value["file"]
                if "offset" in value:
                    value["in"] = self.file
                self.locate(value)
            elif isinstance(value, dict):
                self.locate(value)
            elif isinstance(value, list):
                for one in value:
                    if isinstance(one, dict):
                        self.locate(one)

    def extent(self, node):
        """Offsets of a node that is written in this check's folder and not by a macro; None elsewhere."""
        begin, end = node.get("range", {}).get("begin", {}), node.get("range", {}).get("end", {})
        if "offset" not in begin or "offset" not in end or begin["in"] != end["in"]:
            return None
        if not begin["in"].startswith(self.folder):
            return None
        return begin["in"], begin["offset"], end["offset"] + end["tokLen"]

    def text(self, file):
        if file not in self.sources:
            self.sources[file] = (self.lib / file).read_bytes()
        return self.sources[file]

    def visit(self, node, above):
        extent = self.extent(node)
        kind = node.get("kind", "")
        if extent and not self.is_skipped(node, above):
            file, begin, end = extent
            mark = (file, begin, end, kind)
            if mark not in self.seen:
                self.seen.add(mark)
                find = getattr(self, "on_" + kind, None)
                if find:
                    find(node, above, file, begin, end)
        for child in node.get("inner", []):
            if isinstance(child, dict) and "kind" in child:
                self.visit(child, above + [node])

    def is_skipped(self, node, above):
        """Labels of cases must be constants; what only words a sentence changes nothing that a case can see."""
        for one in reversed(above):
            kind = one["kind"]
            if kind in ("CaseStmt", "ConstantExpr", "StaticAssertDecl", "EnumConstantDecl", "TemplateArgument"):
                return kind != "CaseStmt" or node is one["inner"][0]
            if kind in ("CallExpr", "CXXMemberCallExpr") and self.callee(one) in WORDING_CALLS:
                return True
            if kind in ("FunctionDecl", "CXXMethodDecl"):
                return one.get("type", {}).get("qualType", "").startswith(("std::string (", "std::string_view ("))
        return False

    def callee(self, call):
        node = call["inner"][0]
        while node.get("inner") and "referencedDecl" not in node:
            node = node["inner"][0]
        return node.get("referencedDecl", {}).get("name") or node.get("name", "")

    def add(self, file, begin, end, kind, pieces, changes):
        source = self.text(file)
        line = source.count(b"\n", 0, begin) + 1
        start = source.rfind(b"\n", 0, begin) + 1
        stop = source.find(b"\n", begin)
        code = source[start:stop].decode().strip()
        column = begin - start + 1
        mutants = [Mutant(self.check, file[len("src/checks/"):], line, column, kind, code, change) for change in changes]
        self.edits.setdefault(file, []).append(Edit(begin, end, pieces, mutants, line))

    def binary(self, node, file, begin, end, left, right, table, kind):
        a, b = self.extent(left), self.extent(right)
        if not a or not b or a[2] > b[1]:
            return
        source = self.text(file)
        between = re.sub(rb"//[^\n]*", lambda m: b" " * len(m.group()), source[a[2]:b[1]])
        operator = between.strip().decode()
        if operator not in table or b[2] != end or a[1] != begin:
            return
        switch, into = table[operator]
        at = a[2] + between.index(operator.encode())
        lines = "\n" * source[a[2]:b[1]].count(b"\n")
        self.add(file, begin, end, kind,
                 [(begin, 0, "::mutants::" + switch + "(@, ("), (a[2], b[1] - a[2], ")," + lines + "("), (end, 0, "))")],
                 [self.named(source, a[2], at, operator, other) for other in into])
        if into[0] in EXACTLY and is_real(left) and is_real(right):
            self.edits[file][-1].mutants[0].kind = "limit"

    @staticmethod
    def named(source, before, at, operator, other):
        """The change with the word before the operator, which tells two on one line apart."""
        word = re.search(rb"[\w.\]\)\(>\[-]*\s*$", source[max(0, before - 40):before])
        tail = source[at + len(operator):at + len(operator) + 24].split(b"\n")[0].decode().strip()
        return (word.group().decode().strip() if word else "") + " " + operator + " → " + other + " " + tail.split(" ")[0]

    def on_BinaryOperator(self, node, above, file, begin, end):
        left, right = node["inner"][0], node["inner"][1]
        operator = node.get("opcode")
        if operator in LOGICAL:
            self.logical(node, file, begin, end, left, right, operator)
        elif operator in COMPARISONS:
            self.binary(node, file, begin, end, left, right, COMPARISONS, "comparison")
        elif operator in ARITHMETIC and "*" not in node["type"]["qualType"]:
            self.binary(node, file, begin, end, left, right, ARITHMETIC, "arithmetic")

    def on_CompoundAssignOperator(self, node, above, file, begin, end):
        self.binary(node, file, begin, end, node["inner"][0], node["inner"][1], ASSIGNMENTS, "arithmetic")

    def on_CXXOperatorCallExpr(self, node, above, file, begin, end):
        if len(node["inner"]) == 3:
            self.binary(node, file, begin, end, node["inner"][1], node["inner"][2], COMPARISONS, "comparison")

    def logical(self, node, file, begin, end, left, right, operator):
        a, b = self.extent(left), self.extent(right)
        if not a or not b or a[1] != begin or b[2] != end:
            return
        source = self.text(file)
        at = a[2] + source[a[2]:b[1]].index(operator.encode())
        # a || b is !(!a && !b): three switches of one number keep the short circuit.
        self.add(file, begin, end, "logic",
                 [(begin, 0, "::mutants::negated(@, ::mutants::negated(@, static_cast<bool>("), (a[2], 0, "))"),
                  (b[1], 0, "::mutants::negated(@, static_cast<bool>("), (end, 0, ")))")],
                 [self.named(source, a[2], at, operator, LOGICAL[operator][0])])

    def on_UnaryOperator(self, node, above, file, begin, end):
        source = self.text(file)
        if node.get("opcode") == "!" and source[begin:begin + 1] == b"!":
            operand = source[begin + 1:end].decode()
            self.add(file, begin, end, "logic",
                     [(begin + 1, 0, "::mutants::negated(@, static_cast<bool>("), (end, 0, "))")],
                     ["!" + operand[:40] + " → " + operand[:40]])

    def on_IfStmt(self, node, above, file, begin, end):
        if not node.get("hasInit") and not node.get("hasVar"):
            self.condition(node["inner"][0])

    def on_ConditionalOperator(self, node, above, file, begin, end):
        self.condition(node["inner"][0])

    def condition(self, node):
        inner = node
        while inner.get("kind") in ("ImplicitCastExpr", "ParenExpr", "ExprWithCleanups", "CXXMemberCallExpr") and inner.get("inner"):
            if inner["kind"] == "CXXMemberCallExpr" and not self.callee(inner).startswith("operator"):
                break
            inner = inner["inner"][0]
        operator = inner.get("opcode")
        extent = self.extent(node)
        if not extent or operator in COMPARISONS or operator in LOGICAL or operator == "!" or inner["kind"] in (
                "CXXOperatorCallExpr", "CXXRewrittenBinaryOperator"):
            return
        file, begin, end = extent
        text = self.text(file)[begin:end].decode()
        self.add(file, begin, end, "condition", [(begin, 0, "::mutants::negated(@, static_cast<bool>("), (end, 0, "))")],
                 ["if " + text[:40] + " → if !"])

    def on_ReturnStmt(self, node, above, file, begin, end):
        if not node.get("inner"):
            self.jump(above, file, begin, end, "return;")

    def on_ContinueStmt(self, node, above, file, begin, end):
        self.jump(above, file, begin, end, "continue;")

    def jump(self, above, file, begin, end, word):
        source = self.text(file)
        semicolon = source.index(b";", end) + 1
        self.add(file, begin, semicolon, "return",
                 [(begin, 0, "{ if (!::mutants::on(@)) "), (semicolon, 0, " }")], ["dropped " + word])

    def on_CXXBoolLiteralExpr(self, node, above, file, begin, end):
        if any(one["kind"] == "FieldDecl" for one in above):
            return  # most are set before they are read
        word = self.text(file)[begin:end].decode()
        self.add(file, begin, end, "bool", [(begin, 0, "::mutants::negated(@, "), (end, 0, ")")],
                 [word + " → " + ("false" if word == "true" else "true")])

    def on_DeclRefExpr(self, node, above, file, begin, end):
        declared = node.get("referencedDecl", {})
        if declared.get("kind") != "EnumConstantDecl" or declared["name"] not in SEVERITIES:
            return
        if "Severity" not in declared.get("type", {}).get("qualType", ""):
            return
        if any(one.get("name") == "describe" for one in above):
            return  # held by the contract's own table
        other = SEVERITIES[declared["name"]]
        self.add(file, begin, end, "severity",
                 [(begin, 0, "(::mutants::on(@) ? ::beadwise::Severity::" + other + " : "), (end, 0, ")")],
                 [declared["name"] + " → " + other])

    def on_IntegerLiteral(self, node, above, file, begin, end):
        self.number(node, above, file, begin, end, False)

    def on_FloatingLiteral(self, node, above, file, begin, end):
        self.number(node, above, file, begin, end, True)

    def number(self, node, above, file, begin, end, floating):
        literal = self.text(file)[begin:end].decode()
        cast = ""
        for one in reversed(above):
            if one["kind"] != "ImplicitCastExpr":
                break
            type_ = one["type"].get("desugaredQualType", one["type"]["qualType"])
            floating = floating or one.get("castKind") == "IntegralToFloating"
            cast = "static_cast<" + type_ + ">("
        value = float(node["value"])
        if not floating and any(one["kind"] == "VarDecl" and one.get("constexpr") for one in above):
            return  # sizes of arrays
        parent = next((one for one in reversed(above) if one["kind"] not in ("ImplicitCastExpr", "ParenExpr")), {})
        is_index = parent.get("kind") in ("ArraySubscriptExpr", "CXXOperatorCallExpr") and self.text(file)[begin - 1:begin] == b"["
        threshold = any(one.get("name") == "describe" for one in above)
        if value == 0 and (threshold or any(one["kind"] == "FieldDecl" for one in above)):
            return  # a limit of nothing has no half; most members are set before they are read
        if is_index:
            switch, changes = "index", ["[" + literal + "] → [" + ("1" if value == 0 else str(int(value) - 1)) + "]"]
        elif threshold:
            switch, changes = "threshold", [literal + " × 1.5", literal + " / 1.5"]
        elif floating and value != 0:
            switch, changes = "number", [literal + " × 2", literal + " / 2"]
        else:
            switch, changes = "count", [literal + " + 1"]
        pieces = [(begin, 0, cast + "::mutants::" + switch + "(@, "), (end, 0, ")" + (")" if cast else ""))]
        pieces += self.not_constexpr(above, file)
        self.add(file, begin, end, "threshold" if threshold else "constant", pieces, changes)

    def not_constexpr(self, above, file):
        """A switched constant is none of the compiler's."""
        for depth in range(len(above) - 1, -1, -1):
            one = above[depth]
            if one["kind"] in ("VarDecl", "FunctionDecl", "CXXMethodDecl") and one.get("constexpr"):
                extent = self.extent(one)
                if not extent:
                    return []
                found = self.text(file)[extent[1]:extent[2]].find(b"constexpr")
                if found < 0:
                    return []
                member = depth > 0 and above[depth - 1]["kind"] == "CXXRecordDecl"
                word = "inline" if one["kind"] != "VarDecl" else "inline const" if member else "const"
                return [(extent[1] + found, len("constexpr"), word)]
            if one["kind"] in ("CompoundStmt", "CXXRecordDecl"):
                return []
        return []


def switched(source: bytes, edits, is_kept):
    """The source with the mutants that are kept behind switches; lines stay where they are."""
    closing, replacing, opening = {}, {}, {}
    for edit in edits:
        if not is_kept(edit):
            continue
        for offset, length, text in edit.pieces:
            text = text.replace("@", str(edit.mutants[0].id))
            if length > 0:
                replacing[offset] = (length, text)
            elif text.startswith((")", " }")):
                closing.setdefault(offset, []).append((edit.end - edit.begin, text))
            else:
                opening.setdefault(offset, []).append((edit.begin - edit.end, text))
    out, at = [], 0
    for offset in sorted({*closing, *replacing, *opening}):
        out.append(source[at:offset])
        at = offset
        # The inner ends first, the outer begins first.
        out += [text.encode() for _, text in sorted(closing.get(offset, []), key=lambda one: one[0])]
        if offset in replacing:
            length, text = replacing[offset]
            out.append(text.encode())
            at += length
        out += [text.encode() for _, text in sorted(opening.get(offset, []), key=lambda one: one[0])]
    out.append(source[at:])
    return b"".join(out)
