#!/usr/bin/env python3
"""What SARIF and JUnit XML say about a file, held against the bytes of that file, read here a second time.

    python3 tests/sarif/facts.py BEADWISE SOURCE_DIR

Sources: SARIF 2.1.0 (OASIS), sections 3.24 (artifacts), 3.27 (results), 3.30 (regions); RFC 3986 (references);
RFC 3629 (UTF-8, by Python's own decoder); XML 1.0, section 2.2 (characters), by Python's parser and by xmllint.
"""

import gzip
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import urllib.parse
import xml.etree.ElementTree as ElementTree

beadwise = os.path.realpath(sys.argv[1])
plates = os.path.join(os.path.realpath(sys.argv[2]), "examples", "plates")
schema = os.path.join(os.path.dirname(os.path.realpath(__file__)), "junit_common.xsd")
passed = 0
failed = 0


def fact(name, holds, told=""):
    global passed, failed
    passed, failed = passed + bool(holds), failed + (not holds)
    print(f"{'holds' if holds else 'FAILS'}: {name}" + ("" if holds else f"\n  {str(told)[:600]}"))


def run(*arguments, given=None):
    return subprocess.run([beadwise, "check", *arguments], input=given, capture_output=True, check=False)


def sarif_of(*arguments, given=None):
    return json.loads(run("--format", "sarif", *arguments, given=given).stdout)["runs"][0]


def junit_of(*arguments):
    return ElementTree.fromstring(run("--format", "junit", *arguments).stdout)


def write(name, data):
    with open(name, "wb") as file:
        file.write(data)


def places_of(log):
    """Every physical location of the results, the related ones too."""
    for result in log["results"]:
        for location in result["locations"] + result.get("relatedLocations", []):
            yield location["physicalLocation"]


def regions_of(log):
    return [place["region"] for place in places_of(log) if "region" in place]


def lines_of(data):
    """Where each physical line begins and ends; LF, CRLF and CR end one."""
    lines, start = [], 0
    for end in re.finditer(rb"\r\n|\n|\r", data):
        lines.append((start, end.start()))
        start = end.end()
    return lines + ([(start, len(data))] if start < len(data) else [])


def letters(data):
    """Code points; each byte that belongs to none is a letter of its own."""
    return data.decode("utf-8", "surrogateescape")


def wrong_region(region, data):
    """What a region says that the bytes do not bear out; None where all holds."""
    mark = 3 if data.startswith(b"\xef\xbb\xbf") else 0
    text = letters(data[mark:])
    start, end = [at + mark for at in lines_of(data[mark:])[region["startLine"] - 1]]
    line = letters(data[start:end])
    wanted = {
        "startColumn": 1,
        "endLine": region["startLine"],
        "endColumn": len(line) + 1,
        "byteOffset": start,
        "byteLength": end - start,
        "charOffset": len(letters(data[mark:start])),
        "charLength": len(line),
    }
    if any(region.get(key) != value for key, value in wanted.items()):
        return region, wanted
    if text[region["charOffset"] : region["charOffset"] + region["charLength"]] != line:
        return "offset in letters", region
    shown = re.sub("[\udc80-\udcff]", "\ufffd", line)
    if "snippet" in region and region["snippet"]["text"] != shown:
        return region["snippet"], shown
    return None if "snippet" in region or end - start > 200 else ("no snippet", region)


def label():
    """A row label with faults on many lines: words that cannot be read, checksums that are wrong."""
    lines = ["; row label 7, orchard of the village", "G28", "M140 S60", "M109 S210", "G1 X10 Y10 Z0.2 F3000"]
    for i in range(30):
        lines.append(f"G1 X{20 + i} Y{10 + i % 2} E{0.3 * (i + 1):.2f} F1200")
        if i % 6 == 0:
            lines.append(f"G1 X{{row_{i}}} Y5 ; not filled in")
        if i % 7 == 0:
            lines.append(f"N{i} G1 X10*1")
        if i % 5 == 0:
            lines += ["", "; next stroke"]
    return lines + ["G1 Z20", "M104 S0", "M140 S0", "M84"]


def text_facts():
    stray = [b"; \xe4pfel", b"; \xe2\x82 \xc0\xaf \xed\xa0\x80 \xf5", b"G1 X{\xff} Y1 ; \xe2\x82\xac", b";\x00\x01\x7f"]
    foreign = ["; Äpfel, 苹果, 🍎 und e\u0301".encode(), "G1 X{öl} Y5 ; Öl 🍏".encode(), "; \u2028 \u0085 ".encode()]
    plain = [line.encode() for line in label()]
    mixed = [line for pair in zip(plain, (foreign + stray) * len(plain)) for line in pair]
    long = plain[:8] + [b"G1 X{" + "ä".encode() * 400 + b"} Y5"] + plain[8:]
    texts = {
        "LF": b"\n".join(plain) + b"\n",
        "CRLF": b"\r\n".join(plain) + b"\r\n",
        "CR": b"\r".join(plain) + b"\r",
        "every line end in turn": b"".join(line + (b"\r\n", b"\n", b"\r", b"\n\r")[i % 4] for i, line in enumerate(plain)),
        "no last line end": b"\n".join(plain),
        "a byte-order mark, then CRLF": b"\xef\xbb\xbf" + b"\r\n".join(plain) + b"\r\n",
        "a fault on the first line after a byte-order mark": b"\xef\xbb\xbfG1 X{a} Y1\n" + b"\n".join(plain) + b"\n",
        "UTF-8 and stray bytes": b"\n".join(mixed) + b"\n",
        "all of it at once": b"\xef\xbb\xbf" + b"\r\n".join(mixed) + b"\r\n",
        "a long line": b"\n".join(long) + b"\n",
    }
    for name, data in texts.items():
        write("label.gcode", data)
        regions = regions_of(sarif_of("label.gcode"))
        wrong = [told for told in (wrong_region(region, data) for region in regions) if told]
        fact(f"lines, columns and offsets are those of the file: {name}", len(regions) > 5 and not wrong, wrong)
        write("label.gcode.gz", gzip.compress(data))
        fact(f"the same packed with gzip: {name}", regions_of(sarif_of("label.gcode.gz")) == regions)
        given = sarif_of("-", given=data)
        fact(f"the same on standard input: {name}", regions_of(given) == regions)
    snippets = {
        name: [region["snippet"]["text"] for region in regions_of(sarif_of("label.gcode"))]
        for name, data in texts.items()
        if name in ("LF", "CRLF", "CR", "no last line end") and write("label.gcode", data) is None
    }
    fact("whatever ends the lines, the same ones are named", len(set(map(tuple, snippets.values()))) == 1, snippets)
    fact("standard input has a name that is a reference", [a["location"]["uri"] for a in given["artifacts"]] == ["stdin"])
    fact(
        "that a lone CR ends a line is said",
        given["newlineSequences"] == ["\r\n", "\n", "\r"] and given["columnKind"] == "unicodeCodePoints",
    )


def file_facts():
    names = [b"row label 7.gcode", b"100 %.gcode", b"a#b?c&d.gcode", "Äpfel-苹果.gcode".encode(), b"a:b.gcode",
             b"stray\xe4.gcode", b"[x](y){0}.gcode", b"./sub/../sub/x.gcode", b"standard.gcode", b"tab\there.gcode"]
    os.makedirs("sub", exist_ok=True)
    data = "\n".join(label()).encode()
    for name in names:
        write(name, data)
    log = sarif_of(*[os.fsdecode(name) for name in names])
    uris = [artifact["location"]["uri"] for artifact in log["artifacts"]]
    fact("a name is a reference that gives its bytes back",
         [urllib.parse.unquote_to_bytes(uri) for uri in uris] == [name.removeprefix(b"./") for name in names], uris)
    fact("a reference has the characters of RFC 3986 alone, and none is taken for a scheme or a query",
         all(re.fullmatch(r"(?:[A-Za-z0-9._~/-]|%[0-9A-F]{2})+", uri) for uri in uris), uris)
    fact("every location names its artifact",
         all(uris[place["artifactLocation"]["index"]] == place["artifactLocation"]["uri"] for place in places_of(log)))
    fact("an artifact has its length and SHA-256",
         all(a["length"] == len(data) and a["hashes"]["sha-256"] == hashlib.sha256(data).hexdigest()
             for a in log["artifacts"]))
    whole = os.path.realpath("row label 7.gcode")
    fact("an absolute path is one because it was given so",
         [a["location"]["uri"] for a in sarif_of(whole)["artifacts"]] == ["file://" + urllib.parse.quote(whole)])
    relative = run("--format", "sarif", "row label 7.gcode").stdout
    fact("else nothing of the machine stands in a log", os.getcwd().encode() not in relative)
    fact("a file that is named twice is one artifact",
         len(sarif_of("row label 7.gcode", "./row label 7.gcode")["artifacts"]) == 1)
    packed = gzip.compress(data)
    write("packed.bin", packed)
    artifact = sarif_of("packed.bin")["artifacts"][0]
    fact("a packed file says that its offsets are not those of the packed bytes",
         artifact["mimeType"] == "application/gzip" and "unpacked" in artifact["description"]["text"]
         and "length" not in artifact and artifact["hashes"]["sha-256"] == hashlib.sha256(packed).hexdigest(), artifact)


def result_facts():
    names = sorted(name for name in os.listdir(plates) if name.endswith(".gcode"))
    os.chdir(plates)
    log = sarif_of(*names)
    report = json.loads(run("--format", "json", *names).stdout)
    junit = junit_of("--gate", "warning", *names)
    once = run("--format", "sarif", "--threads", "1", *names).stdout
    again = run("--format", "sarif", "--threads", "4", *names).stdout
    os.chdir(work)
    fact("the same bytes for any number of threads", once == again)

    findings = [(file["file"], finding) for file in report["files"] for finding in file["findings"]]
    results = log["results"]
    fact("a result for each finding, in the same order",
         [(r["ruleId"], r["level"], r["partialFingerprints"]["beadwiseFinding/v1"]) for r in results]
         == [(f["check"], f["severity"], f["fingerprint"]) for _, f in findings])
    fact("the worst place comes first, then the others",
         [[place["physicalLocation"].get("region", {}).get("startLine")
           for place in r["locations"] + r.get("relatedLocations", [])] for r in results]
         == [[place["line"] for place in f["places"]] or [None] for _, f in findings])
    rules = log["tool"]["driver"]["rules"]
    fact("a result points at its check", all(rules[r["ruleIndex"]]["id"] == r["ruleId"] for r in results))
    fact("one rule for each check, in order of name",
         [rule["id"] for rule in rules] == [check["check"] for check in report["files"][0]["checks"]])
    fact("each with its page, its limits and what it is for",
         all("Remedy" in rule["help"]["markdown"] and "Remedy" in rule["help"]["text"]
             and rule["shortDescription"]["text"] and rule["fullDescription"]["text"] for rule in rules))
    fact("the message begins with what was found and says what to do",
         all(r["message"]["text"].startswith(f["what"].replace("{", "{{").replace("}", "}}"))
             and f["remedy"][:40] in r["message"]["text"] for r, (_, f) in zip(results, findings)))
    bands = {"note": (0, 33.4), "warning": (33.3, 66.7), "error": (66.6, 100)}
    fact("a worse severity has a higher rank",
         all(bands[r["level"]][0] <= r["rank"] <= bands[r["level"]][1] for r in results))
    skipped = {(c["check"], file["file"]) for file in report["files"] for c in file["checks"] if c["state"] == "skipped"}
    told = {(n["associatedRule"]["id"], urllib.parse.unquote(place["physicalLocation"]["artifactLocation"]["uri"]))
            for invocation in log["invocations"] for n in invocation["toolExecutionNotifications"]
            if "associatedRule" in n for place in n["locations"]}
    fact("every skipped check is told with its file", skipped and told == skipped, told ^ skipped)

    suites = {suite.get("name"): suite for suite in junit}
    fact("a suite for each file", list(suites) == [file["file"] for file in report["files"]])
    for file in report["files"]:
        suite = suites[file["file"]]
        failing = {f["check"] for f in file["findings"] if f["severity"] in ("warning", "error")}
        cases = {case.get("name"): case for case in suite}
        fact(f"{file['file']}: a test case for each check, failed where a finding stands at the gate",
             list(cases) == [check["check"] for check in file["checks"]]
             and {name for name, case in cases.items() if case.find("failure") is not None} == failing
             and int(suite.get("failures")) == len(failing) and int(suite.get("tests")) == len(cases)
             and int(suite.get("skipped")) == sum(case.find("skipped") is not None for case in suite)
             and suite.get("errors") == "0")
        quiet = {f["check"] for f in file["findings"] if f["severity"] == "note"}
        fact(f"{file['file']}: what stands below the gate is told and does not fail",
             all(cases[name].find("system-out") is not None for name in quiet))


def profile_facts():
    data = "\n".join(label()).encode()
    os.makedirs("stated", exist_ok=True)
    write("stated/label.gcode", data)
    write("plain.gcode", data)
    found = json.loads(run("--format", "json", "plain.gcode").stdout)["files"][0]["findings"]
    known = [f["fingerprint"] for f in found if f["check"] == "bad-checksum"]
    fact("there is one finding to accept", len(known) == 1, known)
    write("stated/beadwise.toml", """
[checks.unread-line]
severity = "note"
[checks.thin-stroke]
off = true
[checks.low-travel]
min_lift_mm = 0.3
[[accept]]
check = "bad-checksum"
where = "FINGERPRINT"
because = "the <sender> strips [checksums](x) {0}"
[[accept]]
check = "open-fill"
where = "label.gcode"
because = "nobody looks at the back"
""".replace("FINGERPRINT", known[0]).encode())
    log = sarif_of("stated/label.gcode", "plain.gcode")
    invocations = {bool(i.get("ruleConfigurationOverrides")): i for i in log["invocations"]}
    overrides = {o["descriptor"]["id"]: o["configuration"]
                 for o in invocations.get(True, {}).get("ruleConfigurationOverrides", [])}
    fact("files with other limits are other invocations, and a result says whose it is",
         len(log["invocations"]) == 2 and {r["provenance"]["invocationIndex"] for r in log["results"]} == {0, 1})
    fact("what a profile states for a check is an override with all limits in use",
         overrides["low-travel"]["parameters"]["min_lift_mm"] == 0.3
         and overrides["low-travel"]["parameters"]["tower_mm"] == 8
         and overrides["thin-stroke"]["enabled"] is False and overrides["unread-line"]["level"] == "note", overrides)
    configured = invocations[True]["toolConfigurationNotifications"]
    fact("a check that was switched off and an acceptance that met nothing are told",
         [n["descriptor"]["id"] for n in configured].count("acceptance-unused") == 1
         and any(n.get("associatedRule", {}).get("id") == "thin-stroke" for n in configured), configured)
    accepted = [r for r in log["results"] if r["suppressions"]]
    fact("an accepted finding stays, suppressed, with the reason",
         accepted and {r["ruleId"] for r in accepted} == {"bad-checksum"} and all(
             s["kind"] == "external" and s["status"] == "accepted"
             and s["justification"] == "the <sender> strips [checksums](x) {0}"
             and "beadwise.toml:" in s["properties"]["from"] for r in accepted for s in r["suppressions"]), accepted)
    fact("every result says whether it is suppressed", all("suppressions" in r for r in log["results"]))
    case = {case.get("name"): case for case in junit_of("--gate", "note", "stated/label.gcode")[0]}["bad-checksum"]
    fact("an accepted finding fails no test case",
         case.find("failure") is None and "the <sender> strips" in case.find("system-out").text)
    case = {case.get("name"): case for case in junit_of("--gate", "none", "plain.gcode")[0]}["bad-checksum"]
    fact("nothing fails without a gate", case.find("failure") is None and case.find("system-out") is not None)


def trouble_facts():
    ended = run("--format", "sarif", "missing.gcode", "plain.gcode")
    log = json.loads(ended.stdout)["runs"][0]
    told = [n for i in log["invocations"] for n in i["toolExecutionNotifications"]
            if n["descriptor"]["id"] == "file-unreadable"]
    fact("a file that cannot be read is an error of the invocation",
         ended.returncode == 3 and not log["invocations"][0]["executionSuccessful"] and len(told) == 1
         and told[0]["level"] == "error"
         and told[0]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] == "missing.gcode", told)
    suite = junit_of("missing.gcode")[0]
    fact("in JUnit XML it is an error, not a failure",
         suite.get("errors") == "1" and suite.get("failures") == "0" and suite[0].find("error") is not None)
    lines = label()
    sizes = []
    for times in (20, 2000):
        write("many.gcode", "\n".join(lines[:5] + [line for i in range(times) for line in lines[5:-4]] + lines[-4:]).encode())
        ended = [run("--only", "unread-line,bad-checksum", "--format", form, "many.gcode").stdout for form in ("sarif", "junit")]
        sizes.append([len(out) for out in ended])
    fact("a hundred times the faults make no larger log",
         all(large < small + 2000 for small, large in zip(*sizes)) and sizes[1][0] < 600_000, sizes)
    for status, gate in ((1, "warning"), (0, "none")):
        ended = run("--format", "sarif", "--gate", gate, "plain.gcode")
        fact(f"the exit status is that of any format, gate {gate}", ended.returncode == status, ended.returncode)
    ended = run("--format", "json", "--out", "sarif=both.sarif", "--out", "html=both.html", "plain.gcode")
    with open("both.sarif", "rb") as file:
        both = file.read()
    fact("beside a page the log is the same", both == run("--format", "sarif", "plain.gcode").stdout)


def holds_by_schema(path):
    return subprocess.run(["xmllint", "--noout", "--schema", schema, path], capture_output=True, check=False)


def xml_facts():
    hostile = "\n".join(label()).encode() + b"\nG1 X{\x01\x08\x0b\x1b[31m\xef\xbf\xbe\xef\xbf\xbf\xe4]]><!--&amp;\"'} Y1\n"
    names = [b"a<b>&\"'.gcode", b"bell\x07\xe4\xef\xbf\xbf.gcode", b"]]>.gcode"]
    for name in names:
        write(name, hostile)
    out = run("--format", "junit", "--gate", "note", *[os.fsdecode(name) for name in names]).stdout
    text = out.decode("utf-8")
    # XML 1.0, section 2.2: Char.
    fact("XML has no letter that it forbids",
         not re.search("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]", text))
    suites = ElementTree.fromstring(out)
    fact("names are read as they are shown",
         [suite.get("name") for suite in suites] == ["a<b>&\"'.gcode", "bell\ufffd\ufffd\ufffd.gcode", "]]>.gcode"],
         [suite.get("name") for suite in suites])
    write("hostile.xml", out)
    os.chdir(plates)
    every = run("--format", "junit", "--gate", "warning", ".", "missing.gcode").stdout
    os.chdir(work)
    write("every.xml", every)
    write("none.xml", run("--format", "junit", "missing.gcode").stdout)
    if shutil.which("xmllint") is None:
        print("JUnit XML was not held against a schema: there is no xmllint (package libxml2-utils).")
        return
    for name in ("hostile.xml", "every.xml", "none.xml"):
        ended = holds_by_schema(name)
        fact(f"{name} holds by the common schema", ended.returncode == 0, ended.stderr)
    for was, becomes in ((b' tests="', b' checks="'), (b"<failure ", b"<fault "), (b' name="low-travel"', b' name="open-fill"')):
        write("wrong.xml", every.replace(was, becomes).replace(b"</failure>", b"</fault>" if b"fault" in becomes else b"</failure>"))
        fact(f"the schema refuses {becomes.decode()} for {was.decode()}", holds_by_schema("wrong.xml").returncode != 0)


work = tempfile.mkdtemp()
os.environ.pop("NO_COLOR", None)
try:
    os.chdir(work)
    text_facts()
    file_facts()
    result_facts()
    profile_facts()
    trouble_facts()
    xml_facts()
finally:
    os.chdir("/")
    shutil.rmtree(work)
print(f"{passed} passed, {failed} failed")
sys.exit(failed > 0)
