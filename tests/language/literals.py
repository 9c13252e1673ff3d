"""The string literals of a C++ file with where they stand: adjacent ones joined, raw ones left out."""
import re
from dataclasses import dataclass, field

TOKEN = re.compile(r"""
    (?P<comment>//[^\n]*|/\*.*?\*/)
  | (?P<directive>^[ \t]*\#(?:[^\n\\]|\\\n|\\.)*)
  | (?P<raw>(?:u8|L|u|U)?R"(?P<mark>[^(\s]*)\((?:.*?)\)(?P=mark)")
  | (?P<text>"(?:[^"\\\n]|\\.)*"(?:s|sv)?)
  | (?P<char>'(?:[^'\\\n]|\\.)*')
  | (?P<name>[A-Za-z_]\w*)
  | (?P<number>\d(?:[\w.]|'(?=\w))*)
  | (?P<sign>::|->|==|!=|<=|>=|&&|\|\||\+=|<<|>>|.)
""", re.X | re.S | re.M)
SIMPLE = {"n": 10, "t": 9, "r": 13, "a": 7, "b": 8, "f": 12, "v": 11, "0": 0}


@dataclass
class Token:
    kind: str
    text: str
    begin: int
    end: int


@dataclass
class Literal:
    value: str
    begin: int          # Of the first piece
    end: int            # Of the last one
    index: int          # Of its first token
    after: int          # Of the token behind
    calls: list = field(default_factory=list)  # Open brackets around it, outermost first: (sign, name in front)
    line: int = 0


def value_of(piece: str) -> bytes:
    body = piece[1:piece.rindex('"')].encode()
    out = bytearray()
    at = 0
    for found in re.finditer(rb'\\(x[0-9A-Fa-f]+|u[0-9A-Fa-f]{4}|[0-7]{1,3}|.)', body, re.S):
        out += body[at:found.start()]
        code = found.group(1).decode()
        if code[0] == "x":
            out.append(int(code[1:], 16))
        elif code[0] == "u" and len(code) == 5:
            out += chr(int(code[1:], 16)).encode()
        elif code[0] in "01234567":
            out.append(int(code, 8))
        else:
            out.append(SIMPLE.get(code, ord(code)))
        at = found.end()
    return bytes(out + body[at:])


def tokens_of(source: str) -> list:
    return [Token(found.lastgroup if found.lastgroup != "mark" else "raw", found.group(), found.start(), found.end())
            for found in TOKEN.finditer(source)
            if not found.group("comment") and not found.group("directive") and not found.group().isspace()]


def literals_of(source: str):
    """(tokens, literals)"""
    tokens = tokens_of(source)
    found, stack, i = [], [], 0
    while i < len(tokens):
        token = tokens[i]
        if token.kind == "text":
            first = i
            data = bytearray()
            while i < len(tokens) and tokens[i].kind == "text":
                data += value_of(tokens[i].text)
                i += 1
            found.append(Literal(data.decode(errors="replace"), token.begin, tokens[i - 1].end, first, i,
                                 list(stack), source.count("\n", 0, token.begin) + 1))
            continue
        if token.text in "([{" and token.kind == "sign":
            before = tokens[i - 1] if i else None
            stack.append((token.text, before.text if before else "", i))
        elif token.text in ")]}" and token.kind == "sign" and stack:
            stack.pop()
        i += 1
    return tokens, found


NEUTRAL = set("""mm in min ft kW kw Nm nm deg cm sec ms id px utf csv json toml svg html md nc turnwright http https www
com org https xml true false null nan inf""".split())
SHORT = set("or to of is at no by it on a an as if in be up".split())
BODY_BEFORE = {")", "const", "else", "do", "try", "noexcept", "override", "]", ";"}


def visible(value):
    """What a person reads of it: no tags, no places."""
    kept = re.findall(r'(?:aria-label|aria-roledescription|title|placeholder|alt)="([^"]*)"', value)
    kept = [k for k in kept if "{" != k[:1]]
    value = re.sub(r"<style.*?</style>|<script.*?</script>", " ", value, flags=re.S)
    value = re.sub(r"<[^>]*>|&\w+;|<[^>]*$|^[^<>]*=\"?[^<>]*>", " ", value)
    value = re.sub(r"\{[^{}]*\}", " ", value)
    return " ".join([value] + kept)


def has_words(value):
    shown = visible(value)
    if re.search(r"https?://", shown): shown = re.sub(r"https?://\S+", " ", shown)
    words = re.findall(r"[A-Za-z]+(?:[_.][A-Za-z_]+)*", shown)
    real = [w for w in words if (re.search(r"[a-z]{3}", w) or w in SHORT) and w not in NEUTRAL
            and "_" not in w and not re.search(r"[a-z][A-Z]|\w\.\w", w)]
    if not real: return False
    return any(len(w) >= 3 for w in real) or len(real) >= 1 and shown.strip() in SHORT | {"or", "no"} or len(real) > 1 \
        or shown.count(" ") > 0 and any(w in SHORT - {"in", "a"} for w in real)


class File:
    def __init__(self, path):
        self.path, self.short = path, path.split("/server/")[1]
        with open(path, encoding="utf-8") as source:
            self.source = source.read()
        self.tokens, self.literals = literals_of(self.source)

    def before(self, literal, n=1):
        at = literal.index - n
        return self.tokens[at].text if at >= 0 else ""

    def behind(self, literal, n=0):
        at = literal.after + n
        return self.tokens[at].text if at < len(self.tokens) else ""

    def in_body(self, literal):
        for sign, name, index in literal.calls:
            if sign != "{": continue
            if name in BODY_BEFORE - {";"}: return True
            # "-> Type {" and "const Type& name() const {"
            j = index - 1
            while j > 0 and (self.tokens[j].kind == "name" or self.tokens[j].text in ("::", "<", ">", "*", "&", "->")):
                if self.tokens[j].text == "->": return True
                j -= 1
        return False

    def statement(self, literal):
        """Tokens in front of it, back to the begin of its statement."""
        level, j, out = 0, literal.index - 1, []
        while j >= 0:
            t = self.tokens[j].text
            if self.tokens[j].kind == "sign":
                if t in ")]}": level += 1
                elif t in "([{":
                    if t == "{" and level == 0 and j and (self.tokens[j - 1].text in BODY_BEFORE): break
                    level -= 1 if level > 0 else 0
                elif t == ";" and level == 0: break
            if t == "}" and level == 1 and j + 1 < len(self.tokens) and self.tokens[j + 1].kind == "name" \
                    and self.tokens[j + 1].text not in ("else",) and out and out[-1] == self.tokens[j + 1].text:
                # End of the statement before
                break
            out.append(t)
            j -= 1
        return out[::-1]

    def is_table(self, literal):
        """Stands in a table: it is looked up where it is shown, for here nothing can be called."""
        statement = self.statement(literal)
        return "constexpr" in statement or statement[:2] == ["static", "const"] or not self.in_body(literal)
