"""Sets the document of a job by other programs, and measures all in one run.

    python3 tools/peer/pages.py SOUNDWRIT JOB [TYPST]

SOUNDWRIT and TYPST are programs. The first writes the job; its Markdown and
figures are then set by pandoc with WeasyPrint, and by Typst. Those that are not
there are passed over. Of each, three runs are made, and that with the least time
of the processor is printed: seconds of the clock and of the processor, the most
memory, and the size of the PDF. KEEP names a folder, if any, for what they made.

Soundwrit reads the job, computes it, checks it and draws its figures within its
time; the others only set the text. What they make has no fields and nothing
attached, and Typst's none of the links between sections.
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time


def measure(folder, args):
    """Of the run of three with the least processor time: that and the clock in s, memory in MB."""
    best = None
    for _ in range(3):
        begin = time.monotonic()
        child = subprocess.Popen(args, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        _, status, used = os.wait4(child.pid, 0)
        clock = time.monotonic() - begin
        if os.waitstatus_to_exitcode(status) not in (0, 1):  # 1: a requirement is not met
            sys.exit("failed: " + " ".join(args))
        run = (used.ru_utime + used.ru_stime, clock, used.ru_maxrss / 1024)
        best = min(best or run, run)
    return best


def typst(blocks):
    """Typst's markup of a document as pandoc parsed it."""
    return "\n\n".join(block(b) for b in blocks)


def block(b):
    kind, c = b["t"], b.get("c")
    if kind == "Header":
        return "=" * c[0] + " " + inlines(c[2])
    if kind in ("Para", "Plain"):
        return inlines(c)
    if kind == "BlockQuote":
        return "#quote(block: true)[" + typst(c) + "]"
    if kind == "BulletList":
        return "#list(" + ", ".join("[" + typst(i) + "]" for i in c) + ")"
    if kind == "OrderedList":
        return "#enum(" + ", ".join("[" + typst(i) + "]" for i in c[1]) + ")"
    if kind == "Table":
        head, bodies = c[3][1], c[4]
        row = lambda r: ", ".join("[" + typst(cell[4]) + "]" for cell in r[1])
        rows = [row(r) for r in head]
        rows += [row(r) for body in bodies for r in body[3]]
        return "#table(columns: %d, %s)" % (len(c[2]), ",\n".join(rows))
    return ""  # comments that steer the layout


def inlines(items):
    out = ""
    for i in items:
        kind, c = i["t"], i.get("c")
        if kind == "Str":
            out += "#" + json.dumps(c, ensure_ascii=False) + ";"
        elif kind in ("Space", "SoftBreak"):
            out += " "
        elif kind == "LineBreak":
            out += "#linebreak()"
        elif kind == "Strong":
            out += "#strong[" + inlines(c) + "]"
        elif kind == "Emph":
            out += "#emph[" + inlines(c) + "]"
        elif kind == "Code":
            out += "#raw(" + json.dumps(c[1], ensure_ascii=False) + ")"
        elif kind == "Link":
            out += inlines(c[1])
        elif kind == "Image":
            out += "#image(" + json.dumps(c[2][0]) + ")"
        elif kind == "Quoted":
            out += "#" + json.dumps("“") + ";" + inlines(c[1]) + "#" + json.dumps("”") + ";"
        elif kind != "RawInline":
            sys.exit("no markup for " + kind)
    return out


def main():
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    soundwrit, job = (os.path.abspath(a) for a in sys.argv[1:3])
    setter = os.path.abspath(sys.argv[3]) if len(sys.argv) > 3 else shutil.which("typst")
    print("load %.1f %.1f %.1f" % os.getloadavg())
    with tempfile.TemporaryDirectory() as folder:
        name = os.path.splitext(os.path.basename(job))[0]

        def row(what, args, made):
            processor, clock, memory = measure(folder, args)
            size = os.path.getsize(os.path.join(folder, made)) / 1000
            print("%-24s clock %6.2f s  processor %6.2f s  %5.0f MB  %5.0f kB" % (what, clock, processor, memory, size))

        row("soundwrit write", [soundwrit, "write", job, "-o", "."], name + ".pdf")
        if not shutil.which("pandoc"):
            return
        if shutil.which("weasyprint"):
            row("pandoc, WeasyPrint", ["pandoc", "--from=gfm", "--pdf-engine=weasyprint", "--metadata=title=" + name, "-o", "pandoc.pdf", name + ".md"], "pandoc.pdf")
        if setter:
            parsed = subprocess.run(["pandoc", "--from=gfm", "--to=json", name + ".md"], cwd=folder, check=True, capture_output=True)
            with open(os.path.join(folder, "typst.typ"), "w") as f:
                f.write('#set page(paper: "a4", margin: 20mm)\n#set text(font: "DejaVu Sans", size: 9pt)\n' + typst(json.loads(parsed.stdout)["blocks"]))
            row("Typst", [setter, "compile", "typst.typ", "typst.pdf"], "typst.pdf")
        keep = os.environ.get("KEEP")
        if keep:
            for f in ("pandoc.pdf", "typst.pdf", "typst.typ"):
                if os.path.exists(os.path.join(folder, f)):
                    shutil.copy(os.path.join(folder, f), keep)


main()
