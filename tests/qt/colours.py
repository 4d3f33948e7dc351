"""Colour differences for tests: CIEDE2000, and colours as colour-blind people see them."""

import math

Rgb = tuple[float, float, float]

# Machado, Oliveira, Fernandes 2009, severity 1.0, in linear RGB (from memory).
DEFECTS: dict[str, tuple[Rgb, Rgb, Rgb]] = {
    "none": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "protan": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deutan": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritan": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}


def linear(colour: str) -> Rgb:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return (r, g, b)


def seen(colour: str, defect: str) -> Rgb:
    rgb = linear(colour)
    mixed = [
        min(max(sum(m * c for m, c in zip(row, rgb, strict=True)), 0.0), 1.0)
        for row in DEFECTS[defect]
    ]
    return (mixed[0], mixed[1], mixed[2])


def lab(rgb: Rgb) -> Rgb:
    r, g, b = rgb
    x = (0.4124564 * r + 0.3575761 * g + 0.1804375 * b) / 0.95047
    y = 0.2126729 * r + 0.7151522 * g + 0.0721750 * b
    z = (0.0193339 * r + 0.1191920 * g + 0.9503041 * b) / 1.08883
    fx, fy, fz = (
        t ** (1 / 3) if t > (6 / 29) ** 3 else t / (3 * (6 / 29) ** 2) + 4 / 29 for t in (x, y, z)
    )
    return (116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz))


def ciede2000(one: Rgb, two: Rgb) -> float:
    """The formula of CIE 142-2001, with all weights 1."""
    (l1, a1, b1), (l2, a2, b2) = one, two
    mean = (math.hypot(a1, b1) + math.hypot(a2, b2)) / 2
    g = 0.5 * (1 - math.sqrt(mean**7 / (mean**7 + 25**7)))
    a1, a2 = (1 + g) * a1, (1 + g) * a2
    c1, c2 = math.hypot(a1, b1), math.hypot(a2, b2)
    h1, h2 = (math.degrees(math.atan2(b, a)) % 360 for a, b in ((a1, b1), (a2, b2)))
    dl, dc = l2 - l1, c2 - c1
    turn = h2 - h1
    if c1 * c2 == 0:
        turn = 0.0
    elif turn > 180:
        turn -= 360
    elif turn < -180:
        turn += 360
    dh = 2 * math.sqrt(c1 * c2) * math.sin(math.radians(turn / 2))
    lm, cm = (l1 + l2) / 2, (c1 + c2) / 2
    if c1 * c2 == 0:
        hm = h1 + h2
    elif abs(h1 - h2) <= 180:
        hm = (h1 + h2) / 2
    else:
        hm = (h1 + h2 + 360) / 2 if h1 + h2 < 360 else (h1 + h2 - 360) / 2
    t = (
        1
        - 0.17 * math.cos(math.radians(hm - 30))
        + 0.24 * math.cos(math.radians(2 * hm))
        + 0.32 * math.cos(math.radians(3 * hm + 6))
        - 0.20 * math.cos(math.radians(4 * hm - 63))
    )
    rc = 2 * math.sqrt(cm**7 / (cm**7 + 25**7))
    rt = -math.sin(math.radians(60 * math.exp(-(((hm - 275) / 25) ** 2)))) * rc
    sl = 1 + 0.015 * (lm - 50) ** 2 / math.sqrt(20 + (lm - 50) ** 2)
    sc, sh = 1 + 0.045 * cm, 1 + 0.015 * cm * t
    x, y, z = dl / sl, dc / sc, dh / sh
    return math.sqrt(x * x + y * y + z * z + rt * y * z)
