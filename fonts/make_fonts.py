"""Makes the font files of this folder from the web fonts they come from: see README.md.

Usage: python make_fonts.py PACKAGE_FOLDER   (needs fonttools and brotli)
"""

import pathlib
import sys

from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont, newTable
from fontTools.ttLib.tables._k_e_r_n import KernTable_format_0

KEPT_TABLES = {"OS/2", "cmap", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "name", "post"}
DIGITS = "zero one two three four five six seven eight nine".split()
# What can stand beside each other in captions and tables; the rest of the kerning is left out.
KERNED = [*range(0x21, 0x30), *range(0x3A, 0x7F), *map(ord, "’‘“”–—·×…")]


def add_glyphs(font, more):
    """Adds the glyphs that only `more` has, with their characters."""
    old = set(font.getGlyphOrder())
    for name in more.getGlyphOrder():
        if name not in old:
            font["glyf"][name] = more["glyf"][name]
            font["hmtx"][name] = more["hmtx"][name]
    for table in font["cmap"].tables:
        for code, name in more.getBestCmap().items():
            table.cmap.setdefault(code, name)


def kerning(font):
    """All pairs of KERNED with the sum of the pair adjustments that the layout table gives the first glyph."""
    glyphs = {font.getBestCmap()[code] for code in KERNED if code in font.getBestCmap()}
    gpos = font["GPOS"].table
    wanted = {
        index
        for record in gpos.FeatureList.FeatureRecord
        if record.FeatureTag == "kern"
        for index in record.Feature.LookupListIndex
    }
    pairs = {}
    for index in sorted(wanted):
        found = {}
        for subtable in gpos.LookupList.Lookup[index].SubTable:
            subtable = getattr(subtable, "ExtSubTable", subtable)
            for left in subtable.Coverage.glyphs:
                if left not in glyphs:
                    continue
                if subtable.Format == 1:
                    place = subtable.Coverage.glyphs.index(left)
                    values = {r.SecondGlyph: r.Value1 for r in subtable.PairSet[place].PairValueRecord}
                else:
                    record = subtable.Class1Record[subtable.ClassDef1.classDefs.get(left, 0)]
                    values = {
                        right: record.Class2Record[subtable.ClassDef2.classDefs.get(right, 0)].Value1
                        for right in glyphs
                    }
                for right, value in values.items():
                    if right in glyphs and value is not None:
                        found.setdefault((left, right), getattr(value, "XAdvance", 0))
        for pair, value in found.items():
            pairs[pair] = pairs.get(pair, 0) + value
    return {pair: value for pair, value in sorted(pairs.items()) if value}


def draw(font, character, name, advance, contours, base=None, up=0):
    """Adds a glyph made of straight-sided contours and of another glyph moved up."""
    pen = TTGlyphPen(None)
    if base:
        font["glyf"][base].draw(TransformPen(pen, (1, 0, 0, 1, 0, up)), font["glyf"])
    for contour in contours:
        pen.moveTo(contour[0])
        for point in contour[1:]:
            pen.lineTo(point)
        pen.closePath()
    glyph = pen.glyph()
    font["glyf"][name] = glyph
    glyph.recalcBounds(font["glyf"])
    font["hmtx"][name] = (advance, glyph.xMin)
    for table in font["cmap"].tables:
        table.cmap[ord(character)] = name


def rectangle(left, bottom, right, top):
    return [(left, bottom), (left, top), (right, top), (right, bottom)]


def add_signs(font):
    """The arrows and the two comparisons that the source lacks, in the weight of its minus sign."""
    glyf, advances = font["glyf"], font["hmtx"]
    minus = glyf[font.getBestCmap()[0x2212]]
    pen, axis = minus.yMax - minus.yMin, (minus.yMax + minus.yMin) // 2
    slant = round(pen * 2**0.5)
    left, right, reach = 70, 830, 215

    def head(tip, towards):
        """A chevron whose tip is at x = tip, open to the side of `towards`."""
        back = tip + towards * reach
        points = [
            (tip, axis),
            (back, axis + reach),
            (back + towards * slant // 2, axis + reach - slant // 2),
            (tip + towards * slant, axis),
            (back + towards * slant // 2, axis - reach + slant // 2),
            (back, axis - reach),
        ]
        return points[::-1] if towards < 0 else points

    shaft = slant // 2
    draw(font, "→", "arrowright", 900, [rectangle(left, axis - pen // 2, right - shaft, axis + pen // 2), head(right, -1)])
    draw(font, "←", "arrowleft", 900, [rectangle(left + shaft, axis - pen // 2, right, axis + pen // 2), head(left, 1)])
    for character, name, base in [("≥", "greaterequal", "greater"), ("≤", "lessequal", "less")]:
        sign = glyf[base]
        bar = rectangle(sign.xMin, 0, sign.xMax, pen)
        up = max(0, pen + 55 - sign.yMin)
        draw(font, character, name, advances[base][0], [bar], base, up)


def make(package, weight, target):
    def part(subset):
        return TTFont(package / "files" / f"atkinson-hyperlegible-next-{subset}-{weight}-normal.woff2")

    font = part("latin")
    pairs = kerning(font)
    add_glyphs(font, part("latin-ext"))
    add_signs(font)
    for table in font["cmap"].tables:
        for digit, name in enumerate(DIGITS):
            table.cmap[0x30 + digit] = f"{name}.tf"
    kern = KernTable_format_0()
    kern.coverage, kern.apple, kern.kernTable = 1, False, pairs
    font["kern"] = newTable("kern")
    font["kern"].version, font["kern"].kernTables = 0, [kern]
    for tag in list(font.keys()):
        if tag not in KEPT_TABLES | {"GlyphOrder", "kern"}:
            del font[tag]
    font["name"].names = [n for n in font["name"].names if n.nameID < 256]
    font["post"].formatType = 3.0
    for glyph in font["glyf"].glyphs.values():
        glyph.removeHinting()
    font.flavor = None
    font.recalcTimestamp = False
    font.save(target)
    print(target, target.stat().st_size, len(pairs), "pairs", len(font.getBestCmap()), "characters")


if __name__ == "__main__":
    here = pathlib.Path(__file__).parent
    for weight, name in [(400, "Regular"), (700, "Bold")]:
        make(pathlib.Path(sys.argv[1]), weight, here / f"AtkinsonHyperlegibleNext-{name}.ttf")
