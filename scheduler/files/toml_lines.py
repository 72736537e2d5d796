"""Lines of the keys in a TOML text, which the standard parser does not tell.

What enters is text that `tomllib` has already accepted, so only its shape is
followed: headers, keys, and where a value ends. What leaves is a map from key path
to line (from 1); array tables count from 0 in the path.
"""

import re
import tomllib

Path = tuple[str | int, ...]

_KEY_PART = re.compile(r"""\s*("(?:[^"\\]|\\.)*"|'[^']*'|[A-Za-z0-9_-]+)\s*(\.?)""")
_VALUE_TOKEN = re.compile(
    r'"""(?:[^\\]|\\.)*?"""|\'\'\'.*?\'\'\''
    r'|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'|\#[^\n]*|[\[\]{}\n]|[^\[\]{}\n"\'\#]+',
    re.DOTALL,
)


class TomlLines:
    """Key path to line of one TOML text."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._lines: dict[Path, int] = {}
        self._tables: dict[Path, int] = {}
        self._scan()

    def of(self, path: Path) -> int:
        """Line of the key, or of the nearest enclosing key or header."""
        for end in range(len(path), 0, -1):
            if path[:end] in self._lines:
                return self._lines[path[:end]]
        return 1

    def _scan(self) -> None:
        position, table = 0, Path()
        while position < len(self._text):
            start = re.compile(r"\s*").match(self._text, position)
            position = start.end() if start else position
            if self._text.startswith("#", position):
                position = self._line_end(position)
            elif self._text.startswith("[", position):
                table = self._header(position)
                position = self._line_end(position)
            elif position < len(self._text):
                position = self._pair(position, table)

    def _header(self, position: int) -> Path:
        is_array = self._text.startswith("[[", position)
        parts, _ = self._key(position + (2 if is_array else 1))
        path: Path = ()
        for part in parts[:-1]:
            path = self._latest((*path, part))
        path = (*path, parts[-1])
        if is_array:
            self._note(path, position)
            self._tables[path] = self._tables.get(path, -1) + 1
            path = self._latest(path)
        self._note(path, position)
        return path

    def _latest(self, path: Path) -> Path:
        return (*path, self._tables[path]) if path in self._tables else path

    def _pair(self, position: int, table: Path) -> int:
        parts, end = self._key(position)
        for count in range(1, len(parts) + 1):
            self._note((*table, *parts[:count]), position)
        return self._value_end(end)

    def _key(self, position: int) -> tuple[list[str], int]:
        parts: list[str] = []
        while match := _KEY_PART.match(self._text, position):
            parts.append(_plain(match[1]))
            position = match.end()
            if not match[2]:
                break
        return parts, position

    def _value_end(self, position: int) -> int:
        depth = 0
        while token := _VALUE_TOKEN.match(self._text, position):
            position = token.end()
            depth += (token[0] in {"[", "{"}) - (token[0] in {"]", "}"})
            if token[0] == "\n" and depth == 0:
                break
        return position if token else len(self._text)

    def _line_end(self, position: int) -> int:
        end = self._text.find("\n", position)
        return len(self._text) if end < 0 else end + 1

    def _note(self, path: Path, position: int) -> None:
        self._lines.setdefault(path, self._text.count("\n", 0, position) + 1)


def _plain(part: str) -> str:
    if part[0] == '"':
        return str(tomllib.loads(f"key = {part}")["key"])
    return part.strip("'")
