"""The pages of the project as a folder of HTML that needs no server and no network:

    pages.py OUT            makes OUT: docs, the editors' pages and README, with a search, and checks its links
    pages.py --links OUT    checks the links of a folder of HTML alone

Needs Debian's python3-markdown. A page stands where its Markdown does, so links between them stay as they are, but for
their endings. Whatever a page shows or links to comes along."""

import html
import json
import os
import re
import subprocess
import sys
import unicodedata
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import markdown

ROOT = Path(__file__).resolve().parents[1]
# What stands at the side of every page
SIDE = (
    ("Begin here", (("docs/README.md", "What to read"), ("docs/windows-first-day.md", "First day on Windows"),
                    ("docs/getting-started.md", "First day, any system"), ("docs/questions.md", "Questions"),
                    ("docs/glossary.md", "Words of the trade"))),
    ("For you", (("docs/for-machinists.md", "Machinist"), ("docs/for-setters.md", "Setter"),
                 ("docs/for-programmers.md", "Programmer"), ("docs/for-apprentices.md", "Apprentice"))),
    ("Look up", (("docs/warnings/README.md", "Warnings"), ("docs/codes/README.md", "Codes"),
                 ("docs/shop-file.md", "Shop file"), ("docs/stock.md", "Stock and tools of a job"),
                 ("docs/calculators.md", "From drawing to blocks"), ("docs/lessons/README.md", "Lessons"),
                 ("docs/pictures/README.md", "Pictures"), ("docs/examples/README.md", "Examples"))),
    ("More", (("docs/restart.md", "After a break"), ("docs/lot-and-offsets.md", "Lots and offsets"),
              ("docs/library.md", "A folder of programs"), ("docs/transfer.md", "Another lathe"),
              ("docs/picture-beside.md", "Picture beside the editor"), ("editor-configs/README.md", "Editors"),
              ("docs/trust.md", "How far to trust it"), ("docs/speed.md", "Speed"))),
)

STYLE = """
:root { color-scheme: light dark; --line: #8886; --soft: #8882; --link: #0b5394; }
@media (prefers-color-scheme: dark) { :root { --link: #8cb8ea; } }
* { box-sizing: border-box; }
body { margin: 0; font: 16px/1.5 system-ui, sans-serif; display: grid; grid-template-columns: 15rem minmax(0, 1fr); }
nav { padding: 1rem; border-right: 1px solid var(--line); min-height: 100vh; font-size: .93rem; }
nav h2 { font-size: .8rem; margin: 1rem 0 .2rem; opacity: .75; font-weight: 600; }
nav ul { list-style: none; margin: 0; padding: 0; }
nav a { display: block; padding: .15rem .4rem; border-radius: .3rem; text-decoration: none; }
nav a[aria-current] { background: var(--soft); font-weight: 600; }
a { color: var(--link); }
main { padding: 1rem 2rem 4rem; max-width: 60rem; }
h1 { line-height: 1.2; } h2 { margin-top: 2rem; }
img { max-width: 100%; height: auto; border: 1px solid var(--line); }
pre { background: var(--soft); padding: .7rem; overflow-x: auto; border-radius: .3rem; line-height: 1.35; }
code { font-family: ui-monospace, Consolas, "DejaVu Sans Mono", monospace; font-size: .92em; }
:not(pre) > code { background: var(--soft); padding: .05em .25em; border-radius: .2rem; }
table { border-collapse: collapse; display: block; overflow-x: auto; }
th, td { border: 1px solid var(--line); padding: .25rem .6rem; text-align: left; vertical-align: top; }
#asked { width: 100%; font: inherit; padding: .3rem .5rem; border: 1px solid var(--line); border-radius: .3rem; background: Canvas; color: CanvasText; }
#found { margin: .4rem 0 0; padding: 0; list-style: none; }
#found small { display: block; opacity: .8; padding: 0 .4rem .3rem; overflow-wrap: anywhere; }
footer { margin-top: 3rem; padding-top: .7rem; border-top: 1px solid var(--line); font-size: .85rem; opacity: .85; }
@media (max-width: 50rem) { body { display: block; } nav { min-height: 0; border-right: 0; } main { padding: 1rem; } }
@media print { nav { display: none; } body { display: block; } }
"""

# Sections that hold every asked word, those with a word in their title first
SEARCH = """
"use strict";
const plain = text => text.normalize("NFKD").toLowerCase();
const rows = PAGES.map(([url, title, text]) => ({ url, title, text, titleWords: plain(title), words: plain(title + " " + text) }));
function search(asked) {
    const words = plain(asked).split(/\\s+/).filter(Boolean);
    if (!words.length || asked.trim().length < 2) return [];
    return rows.filter(row => words.every(word => row.words.includes(word)))
        .map(row => [words.filter(word => row.titleWords.includes(word)).length, row])
        .sort((one, other) => other[0] - one[0]).slice(0, 30).map(([, row]) => row);
}
if (typeof document !== "undefined") {
    const box = document.getElementById("asked"), list = document.getElementById("found");
    const root = document.documentElement.dataset.root;
    const show = () => {
        const found = search(box.value);
        list.replaceChildren(...found.map(({ url, title, text, words }) => {
            const row = document.createElement("li"), link = document.createElement("a"), around = document.createElement("small");
            link.href = root + url;
            link.textContent = title;
            const at = Math.max(0, plain(text).indexOf(plain(box.value).trim().split(/\\s+/)[0]) - 40);
            around.textContent = text.slice(at, at + 120);
            row.append(link, around);
            return row;
        }));
        if (!found.length && box.value.trim().length > 1) list.textContent = "Nothing found.";
    };
    box.addEventListener("input", show);
    if (box.value) show();
}
if (typeof module !== "undefined") module.exports = { search };
"""

FOOT = ("A program with no warnings is not a proven program: dry run, single block, reduced rapid, a hand on feed hold. "
        "These pages need no network.")


def slug(text, separator="-"):
    """As the readers of Markdown in the trade of programs make it, so that links work in both."""
    text = unicodedata.normalize("NFC", text).lower().strip()
    return re.sub(r"[^\w\- ]", "", text).replace(" ", separator)


def pages_and_files():
    """Markdown files that become pages, and whatever else lies beside them, by their place in the sources."""
    if (ROOT / ".git").exists():
        names = subprocess.run(["git", "-C", str(ROOT), "ls-files", "-z", "--cached", "--others", "--exclude-standard",
                                "README.md", "DEVELOPERS.md", "docs", "editor-configs"],
                               check=True, capture_output=True, text=True).stdout.split("\0")
    else:
        names = ["README.md", "DEVELOPERS.md"] + [path.relative_to(ROOT).as_posix() for folder in ("docs", "editor-configs")
                                                  for path in (ROOT / folder).rglob("*") if "node_modules" not in path.parts]
    names = sorted({name for name in names if name and (ROOT / name).is_file()})
    return [name for name in names if name.endswith(".md")], [name for name in names if not name.endswith(".md")]


def place_of(name):
    return name[:-3] + ".html" if name.endswith(".md") else name


class Links(HTMLParser):
    """Everything that a page leads to, and the places in it that can be led to."""

    def __init__(self):
        super().__init__()
        self.out, self.places = [], set()

    def handle_starttag(self, tag, given):
        given = dict(given)
        for name in ("id", "name"):
            if given.get(name):
                self.places.add(given[name])
        for name in ("href", "src"):
            if given.get(name) is not None:
                self.out.append(given[name])


def links_of(path):
    links = Links()
    links.feed(path.read_text(encoding="utf-8"))
    return links


def dead_links(folder):
    """("page", "link") for each that leads nowhere; another site's are not followed."""
    folder = Path(folder).resolve()
    known = {path: links_of(path) for path in sorted(folder.rglob("*.html"))}
    dead = []
    for page, links in known.items():
        for link in links.out:
            parts = urlsplit(link)
            if parts.scheme or parts.netloc:
                continue
            target = Path(os.path.normpath(page.parent / unquote(parts.path))) if parts.path else page
            there = target.is_file() and target.is_relative_to(folder)
            if there and parts.fragment and target in known:
                there = unquote(parts.fragment) in known[target].places
            if not there:
                dead.append((page.relative_to(folder).as_posix(), link))
    return dead


class Sections(HTMLParser):
    """A page in the parts that its headings make: (place, heading, text)."""

    def __init__(self):
        super().__init__()
        self.parts, self.heading = [["", "", ""]], False

    def handle_starttag(self, tag, given):
        if re.fullmatch("h[1-3]", tag):
            self.heading = True
            self.parts.append([dict(given).get("id", ""), "", ""])

    def handle_endtag(self, tag):
        if re.fullmatch("h[1-3]", tag):
            self.heading = False
        elif tag in ("p", "li", "td", "th", "pre", "tr"):
            self.parts[-1][2] += " "

    def handle_data(self, data):
        self.parts[-1][1 if self.heading else 2] += data


def with_links_to_pages(text, name, pages):
    """Links to Markdown become links to its page; links to a folder, to the page about it."""
    def changed(found):
        parts = urlsplit(html.unescape(found[2]))
        if parts.scheme or parts.netloc or not parts.path:
            return found[0]
        target = os.path.normpath(os.path.join(os.path.dirname(name), unquote(parts.path)))
        path = parts.path
        if target in pages:
            path = place_of(path)
        elif target + "/README.md" in pages:
            path = path.rstrip("/") + "/README.html"
        return f'{found[1]}"{html.escape(path + ("#" + parts.fragment if parts.fragment else ""))}"'
    return re.sub(r'((?:href|src)=)"([^"]*)"', changed, text)


def side(name):
    rows = []
    root = "../" * name.count("/")
    for title, links in SIDE:
        rows.append(f"<h2>{title}</h2><ul>")
        for target, words in links:
            here = ' aria-current="page"' if target == name else ""
            rows.append(f'<li><a href="{root}{place_of(target)}"{here}>{html.escape(words)}</a></li>')
        rows.append("</ul>")
    return "\n".join(rows)


def make(out):
    """Makes the folder; returns how many pages it has."""
    out = Path(out)
    pages, files = pages_and_files()
    reader = markdown.Markdown(extensions=["tables", "fenced_code", "sane_lists", "toc"],
                               extension_configs={"toc": {"slugify": slug}})
    index = []
    for name in pages:
        reader.reset()
        source = (ROOT / name).read_text(encoding="utf-8")
        # A list right under its paragraph is a list here as it is elsewhere
        source = re.sub(r"^((?![-*] |\d+\. |\s|\||#).*\S.*)\n(?=[-*] |1\. )", r"\1\n\n", source, flags=re.M)
        body = with_links_to_pages(reader.convert(source), name, set(pages))
        sections = Sections()
        sections.feed(body)
        title = next((heading for _, heading, _ in sections.parts if heading), name)
        for place, heading, text in sections.parts:
            if heading or text.strip():
                shown = heading if heading in ("", title) else f"{title}: {heading}"
                index.append([place_of(name) + ("#" + place if place else ""), shown or title, " ".join(text.split())])
        root = "../" * name.count("/")
        other = re.match(r"docs/lessons/(\w\w)/", name)
        language, again = (f' lang="{other[1]}"', ' lang="en"') if other else ("", "")
        page = f"""<!DOCTYPE html>
<html lang="en" data-root="{root}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{html.escape(title)} - Turnwright</title>
<link rel="stylesheet" href="{root}site/style.css">
</head>
<body>
<nav>
<label for="asked"><strong>Turnwright</strong></label>
<input id="asked" type="search" placeholder="Search these pages">
<ul id="found"></ul>
{side(name)}
</nav>
<main{language}>
{body}
<footer{again}>{FOOT}</footer>
</main>
<script src="{root}site/pages.js"></script>
<script src="{root}site/search.js"></script>
</body>
</html>
"""
        to = out / place_of(name)
        to.parent.mkdir(parents=True, exist_ok=True)
        to.write_text(page, encoding="utf-8")
    for name in files:
        (out / name).parent.mkdir(parents=True, exist_ok=True)
        (out / name).write_bytes((ROOT / name).read_bytes())
        (out / name).chmod(0o755 if os.access(ROOT / name, os.X_OK) else 0o644)
    (out / "site").mkdir(exist_ok=True)
    (out / "site" / "style.css").write_text(STYLE.lstrip())
    (out / "site" / "search.js").write_text(SEARCH.lstrip(), encoding="utf-8")
    rows = ",\n".join(json.dumps(row, ensure_ascii=False) for row in index)
    (out / "site" / "pages.js").write_text(f"const PAGES = [\n{rows}\n];\n", encoding="utf-8")
    first = "docs/README.html"
    (out / "index.html").write_text(f"""<!DOCTYPE html>
<html lang="en"><meta charset="utf-8"><title>Turnwright</title><meta http-equiv="refresh" content="0; url={first}">
<a href="{first}">Turnwright: what to read</a></html>
""")
    return len(pages)


if __name__ == "__main__":
    folder = sys.argv[-1]
    if sys.argv[1] != "--links":
        print(make(folder), "pages")
    found = dead_links(folder)
    for page, link in found:
        print(f"{page}: {link} leads nowhere")
    sys.exit(bool(found))
