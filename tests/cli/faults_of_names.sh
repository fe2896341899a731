# shellcheck shell=bash
# Names that nobody would give: in every format the report stays one valid document; read by faults.sh.

cat >names.py <<'P'
"""Jobs with odd names, checked, measured and compared in every format, and read by parsers that are not ours."""
import csv, html.parser, io, json, os, re, shutil, subprocess, sys, tomllib, xml.etree.ElementTree as tree
beadwise, clean, bad = (os.fsencode(word) for word in sys.argv[1:])
odd = [b"new\nline", b"two\r\nlines", b"\x1b[31mred\x1b[2J", b"bell\x07 back\x08 del\x7f nul-like\x01", b"\xff\xfe raw", b"cut \xe2\x82",
       "c1 \u009b31m".encode(), "turned \u202e gcode".encode(), b'"quotes" \'single\'', b"<script>alert(1)",
       b"]]> <!-- & &amp; --", b"-dash", b"--out", b"| table | `code` **bold** [a](b) @name #12", b"back\\slash\\n",
       b"%41%0a %s %n {} {0}", b" blanks  ", b"=1+1", b"\xf0\x9f\x8d\x8e tag", b"e\xcc\x81", b"x" * 240]
names = [name + b".gcode" for name in odd]
os.mkdir("named")
os.chdir("named")
for i, name in enumerate(names): shutil.copy(bad if i % 2 else clean, name)
wrong = []
def told(words, ok):
    if not ok: wrong.append(words)
def run(*arguments, status=1):
    done = subprocess.run([beadwise, *arguments], capture_output=True, check=False)
    told(f"{arguments[:3]} ends with {done.returncode}", done.returncode == status)
    return done
def steers(data):
    text = data.decode()  # a report is UTF-8
    return any((ord(c) < 0x20 and c != "\n") or 0x7f <= ord(c) < 0xa0 or 0x202a <= ord(c) <= 0x202e for c in text)
class Page(html.parser.HTMLParser):
    scripts = 0
    def handle_starttag(self, tag, attributes): self.scripts += tag == "script" and ("type", "application/json") not in attributes
formats = ["json", "sarif", "junit", "html", "markdown", "text"]
done = run("check", *(word for f in formats for word in ("--out", f"{f}=../names.{f}")), "--", *names)
told("standard error is not empty", not done.stderr)
told("text steers the terminal", not steers(done.stdout))
run("check", *(word for f in formats for word in ("--out", f"{f}=../folder.{f}")), ".")
for stem, count in (("names", len(names)), ("folder", len(names))):
    data = {f: open(f"../{stem}.{f}", "rb").read() for f in formats}
    files = json.loads(data["json"])["files"]
    told("JSON has a file for each name", [len(files), sum(f["verdict"] == "error" for f in files)] == [count, count // 2])
    log = json.loads(data["sarif"])["runs"][0]
    told("SARIF has an artifact for each name", len(log["artifacts"]) == count)
    told("SARIF refers to its names by what a URI may hold", all(c > " " and c < "\x7f" for a in log["artifacts"] for c in a["location"]["uri"]))
    told("JUnit XML has a suite for each name", len(tree.fromstring(data["junit"]).findall("testsuite")) == count)
    page, plain = Page(), Page()
    page.feed(data["html"].decode())
    subprocess.run([beadwise, "check", "--out", "html=../plain.html", clean, bad], stdout=subprocess.DEVNULL, check=False)
    plain.feed(open("../plain.html").read())
    told("no name becomes a script of the page", page.scripts == plain.scripts == 1)
    # CommonMark, section 6.1: a code span ends with as many backticks as it began with.
    prose = re.sub(r"(?<!`)(`+)(?!`)(.+?)(?<!`)\1(?!`)", "", data["markdown"].decode())
    told("no name becomes HTML in Markdown", "<script" not in prose and not steers(data["markdown"]))
    told("a text file steers no terminal", not steers(data["text"]))
if shutil.which("xmllint"): told("xmllint reads JUnit XML", subprocess.run(["xmllint", "--noout", "../names.junit"], check=False).returncode == 0)
done = run("measure", "--format", "csv", "--", *names, status=0)
told("CSV has a row for each name", len(list(csv.reader(io.StringIO(done.stdout.decode(), newline="")))) == len(names) + 1)
told("measure steers no terminal", not steers(run("measure", "--", *names, status=0).stdout))
for name in names:
    for command in (["diagnose", "--symptom", "stringing"], ["compare", clean], ["profile", "show"]):
        json.loads(run(*command, "--format", "json", "--", name, status=1 if command[0] == "compare" and names.index(name) % 2 else 0).stdout)
    told("diagnose steers no terminal", not steers(run("diagnose", "--symptom", "stringing", "--", name, status=0).stdout))
    tomllib.loads(run("profile", "new", "--from=" + os.fsdecode(name), status=0).stdout.decode())
done = run("check", "--format", "json", "--", *(b"gone " + name for name in names), status=3)
told("there is a line for each missing name", done.stderr.count(b"\n") == len(names))
told("no complaint steers the terminal", not steers(done.stderr.replace("\u202e".encode(), b"")))
json.loads(done.stdout)
print(*wrong, sep="\n")
sys.exit(bool(wrong))
P
python3 names.py "$beadwise" "$clean" "$bad" >out 2>err
status=$?
fact "names with line ends, quotes, control bytes, bytes that are no UTF-8, dashes, markup: every report is one valid document" good
