"""Outlines and fill lines of the example plates: plane geometry, nothing about printing.

A contour is a list of (x, y) in mm; outlines run against the clock, holes with it, so that one rule insets both.
"""

import math


def rounded_rectangle(x, y, width, depth, radius, steps=6):
    """A plate with round corners; (x, y) is its lower left corner."""
    points = []
    corners = [
        (x + width - radius, y + radius, -90),
        (x + width - radius, y + depth - radius, 0),
        (x + radius, y + depth - radius, 90),
        (x + radius, y + radius, 180),
    ]
    for center_x, center_y, start_deg in corners:
        for step in range(steps + 1):
            angle = math.radians(start_deg + 90 * step / steps)
            points.append((center_x + radius * math.cos(angle), center_y + radius * math.sin(angle)))
    return points


def circle(x, y, radius, steps=48):
    turn = [2 * math.pi * step / steps for step in range(steps)]
    return [(x + radius * math.cos(angle), y + radius * math.sin(angle)) for angle in turn]


def hole(x, y, radius, steps=24):
    return circle(x, y, radius, steps)[::-1]


def label_with_pin(x, y, width, depth, pin_length):
    """A lettering plate with a pin that tapers to a point that is still two beads wide."""
    middle = y + depth / 2
    return [
        (x, y + 3), (x + 3, y), (x + width - 3, y), (x + width, y + 3),
        (x + width, middle - 3.5), (x + width + 3, middle - 3), (x + width + pin_length, middle - 1.5),
        (x + width + pin_length, middle + 1.5), (x + width + 3, middle + 3), (x + width, middle + 3.5),
        (x + width, y + depth - 3), (x + width - 3, y + depth), (x + 3, y + depth), (x, y + depth - 3),
    ]


# Capitals in single strokes, one unit high: how wide each is, and its strokes.
LETTERS = {
    "A": (0.7, [[(0, 0), (0.35, 1), (0.7, 0)], [(0.6, 0.3), (0.1, 0.3)]]),
    "E": (0.55, [[(0.55, 1), (0, 1), (0, 0), (0.55, 0)], [(0, 0.52), (0.45, 0.52)]]),
    "I": (0.0, [[(0, 0), (0, 1)]]),
    "L": (0.55, [[(0, 1), (0, 0), (0.55, 0)]]),
    "M": (0.8, [[(0, 0), (0, 1), (0.4, 0.2), (0.8, 1), (0.8, 0)]]),
    "T": (0.65, [[(0, 1), (0.65, 1)], [(0.325, 1), (0.325, 0)]]),
    "V": (0.7, [[(0, 1), (0.35, 0), (0.7, 1)]]),
}


def letter_strokes(text, x, y, height, gap=0.35):
    """The strokes of a word in capitals; (x, y) is where it begins on its base line."""
    strokes = []
    for letter in text:
        width, shape = LETTERS[letter]
        strokes += [[(x + height * u, y + height * v) for u, v in stroke] for stroke in shape]
        x += height * (width + gap)
    return strokes


def inset(contour, distance):
    """The contour moved towards the material, corners kept sharp."""
    moved = []
    for index, (x, y) in enumerate(contour):
        before, after = contour[index - 1], contour[(index + 1) % len(contour)]
        in_x, in_y = _unit(x - before[0], y - before[1])
        out_x, out_y = _unit(after[0] - x, after[1] - y)
        normal_x, normal_y = -(in_y + out_y), in_x + out_x
        scale = distance / (1 + in_x * out_x + in_y * out_y)
        moved.append((x + normal_x * scale, y + normal_y * scale))
    return moved


def fill_runs(contours, spacing, angle_deg):
    """Parallel lines inside the contours, joined at their ends into runs; each run is a list of points."""
    angle = math.radians(angle_deg)
    turned = [[_turn(point, -angle) for point in contour] for contour in contours]
    lines = _scan(turned, spacing)
    return [[_turn(point, angle) for point in run] for run in _join(lines, 3 * spacing)]


def _unit(x, y):
    length = math.hypot(x, y)
    return x / length, y / length


def _turn(point, angle):
    cosine, sine = math.cos(angle), math.sin(angle)
    return point[0] * cosine - point[1] * sine, point[0] * sine + point[1] * cosine


def _scan(contours, spacing):
    """Segments ((x0, y), (x1, y)) inside the contours, row by row, by the even-odd rule."""
    low = min(y for contour in contours for _, y in contour)
    high = max(y for contour in contours for _, y in contour)
    rows = max(1, int((high - low) / spacing + 1e-6))
    first = low + (high - low - (rows - 1) * spacing) / 2
    segments = []
    for row in range(rows):
        y = first + row * spacing
        crossings = sorted(_crossings(contours, y))
        for left, right in zip(crossings[::2], crossings[1::2]):
            if right - left > 0.3:
                segments.append((row, (left, y), (right, y)))
    return segments


def _crossings(contours, y):
    for contour in contours:
        for index, (x1, y1) in enumerate(contour):
            x0, y0 = contour[index - 1]
            if (y0 <= y) != (y1 <= y):
                yield x0 + (y - y0) * (x1 - x0) / (y1 - y0)


def _join(segments, reach):
    """Walks the rows to and fro; a run ends where the next row is out of reach."""
    left_over = list(segments)
    runs, run, row = [], [], None
    while left_over:
        here = run[-1] if run else left_over[0][1]
        index, end = min(
            ((i, e) for i in range(len(left_over)) for e in (1, 2)),
            key=lambda choice: (math.dist(here, left_over[choice[0]][choice[1]]), choice),
        )
        next_row, *ends = left_over.pop(index)
        near, far = ends if end == 1 else reversed(ends)
        if run and (abs(next_row - row) != 1 or math.dist(here, near) > reach):
            runs.append(run)
            run = []
        run += [near, far]
        row = next_row
    return runs + [run]
