"""Design texts that several tests read: every key of the file format is in `EVERY_KEY`."""

from __future__ import annotations

EVERY_KEY = """\
handbarrow: design 1
name: Hut supply trailer
revision: B
about: One line for the cover.

stock:
  main: tube 26.9x2.3
  bow: square tube 15x1.5
  rail: rectangular tube 40x20x2
  pin: bar 8
  brace: flat 30x5
  axle angle: angle 30x30x3
  gusset: plate 5
  tin: sheet 1
  wheel: wheel 47-406

sizes:
  bed_length: 1900
  half_bed: bed_length / 2
  half_width: 280
  slope: 12 deg
  lean: 20
  bows: 4
  ratio: 0.5
  axle_gap: {value: 100.5, says: hub 100 mm and half a millimetre of play}
  riser: {find: tow_eye_height, equals: 780, between: [40, 400]}
  hub_load: 35 kg
  pivot_x: 0.25 * bed_length
  eye_x: -cos(slope) * 800 * ratio * 2

results:
  tow_eye_height: {height of: drawbar end}
  hoop_width: {distance: [outer-hoop start, outer-hoop end]}
  track: {distance: [left-wheel centre, left-wheel copy 2 centre], along: y}
  hoop_length: {length of: outer-hoop}
  bed_over_gap: {value: bed_length - axle_gap}

assemblies:
  frame: {says: welded}
  cot:
    positions:
      lifted off: {move: [0, 0, 400]}
  back rest:
    within: cot
    positions:
      raised: {turn: 40, axis: left, about: [pivot_x, 0, 20]}
  hood: {within: cot}

carries:
  one lying person: {mass: 90 kg, on: [outer-hoop], at: [half_bed, 0, 100]}
towed at: drawbar end
held at: [front-beam start, front-beam end]
stands on: [axle-plate middle]
km a week: 60
swivel:
  sideways: {turns: [cot, hood], axis: up, about: [1500, 0, 0], needs: 90}
  up and down: {turns: [cot, hood], about: [1500, 0, 0], needs: slope + 20}
  leaning: {turns: hood, about: [1500, 0, 0]}
lifts:
  by two: {lifts: frame, at: [front-beam start, front-beam end], people: 2}
ride:
  bicycle: {mass: 90 kg, wheelbase: 1080, centre: [450, 1000], hitch: [-60, 780]}
  people:
    small guest: {mass: 50 kg, tall: 1530}
  lying:
    head back: {head: back, soles: [bed_length, 0, 60]}
    back raised: {head: back, hips: [pivot_x, 0, 60], back: 40}
  paths:
    forest road: {surface: firm gravel, rises: 60, leans: 30, turn: 4000, speed: 9, kerb: 30, helpers: 1}
  brake: 100 N
  parking brake: yes

parts:
  outer-hoop:
    in: frame
    stock: main
    points:
      - [0, half_width, 0]
      - [bed_length, half_width, 0]
      - {at: [bed_length, -half_width, 0], radius: 90}
      - [0, -half_width, 0]
    radius: 77
    over: former
    start: {meets: front-beam}
    end: {meets: front-beam, gap: 1}
    holes:
      - {from start: 40, diameter: 8.5, face: crown, through: yes}
      - {from end: 15, diameter: 8.5, face: left}
    note: Seam up.
  front-beam:
    in: frame
    name: front beam of the frame
    stock: main
    points: [[0, -340, 0], [0, 340, 0]]
    start: square
    end: free
  drawbar:
    in: frame
    stock: main
    from: [0, 0, 0]
    heading: back
    normal: up
    steps:
      - straight: 300
      - turn: 90
      - bend: lean
      - to centreline: 250
      - {bend: 45, radius: 90}
      - to outside: 200 + riser
    start: {meets: front-beam}
    end: {cut facing: [-1, 0, 1]}
  bow:
    in: hood
    stock: bow
    points: [[300, 0, 20], [300, 0, 420]]
    repeated: {count: bows, step: [200, 0, 0]}
    mirrored: left-right
    on: outer-hoop
    face: forward
    turned: lean
  axle-plate:
    in: frame
    stock: axle angle
    points: [[900, half_width + main.radius, -20], [1000, half_width + main.radius, -20]]
    slots:
      - {from start: 60, face: width leg, across: 18, width: 10.5, length: 24, runs: across, open: yes}
    holes:
      - {from start: 40, face: height leg, across: 18, diameter: 9}
    also at:
      - {move: [0, 0, 0], turn: 180, axis: up, about: [950, 0, 0]}
    on: [outer-hoop]
  tow-plate:
    in: frame
    stock: gusset
    outline: [[0, 0], [0, 40], [60, 40], [60, 0]]
    corner radius: 6
    holes: [{at: [20, 20], diameter: 10.5}, {at: [30, 20], for: M5, fit: coarse}, {at: [10, 20], tapped: M6}]
    slots: [{at: [45, 20], width: 8, length: 20, angle: 90}]
    at: [900, -30, gusset.thickness]
    along: forward
    facing: up
    on: drawbar
  tray:
    in: frame
    stock: tin
    flat: [[0, 0], [200, 0], [200, 100], [0, 100]]
    folds:
      - edge: 1
        height: 30
        angle: 90
        way: up
        radius: 1
        from start: 20
        from end: 20
        then: [{height: 15, way: down}]
      - {edge: 2, height: 30, hem: {kind: open, width: 10, gap: 3}}
    hems: [{edge: 3, kind: closed, width: 10}]
    holes: [{at: [40, 50], for: M5}, {fold: 1, side: 2, at: [30, 8], tapped: M3}]
    slots: [{at: [150, 50], width: 8, length: 30, angle: 45}]
    screws: [{edge: 4, count: 3, from edge: 12, from ends: 20, diameter: 4}]
    gap: 0.5
    grain: x
    at: [900, 30, gusset.thickness]
    on: drawbar
  cover:
    in: frame
    stock: tin
    rolled: {inside radius: 268, angle: 150, width: 90}
    screws: [{edge: left, pitch: 100, from edge: 12, from ends: 20, for: M4}]
    at: [950, 330, 0]
    on: tray
  shield:
    in: frame
    stock: tin
    flat: {arc: {inside: 80, outside: 269, angle: 150}}
    at: [950, 280, 0]
    on: cover
  left-wheel:
    in: frame
    stock: wheel
    at: [950, 330, wheel.radius - 250]
    axis: left
    on: axle-plate
    mass: 1.9 kg
    pressure: 200 kPa
    largest load: 80 kg
    hub: 96
    axle: 10
    mirrored: left-right
  tow-bolt:
    in: frame
    bolted: {through: [tow-plate], thread: M10, nut: plain, washers: 2, full thread: no, undrawn: 4, bridges: 2}
    at: [920, -10, 0]
    axis: up
    welded: no
  eye-nut:
    in: frame
    bought: Hex nut ISO 4032 M10
    drilled out: {for: M10, fit: fine}
    welded: yes
    mass: 10 g
    on: tow-plate
  axle-bolt:
    in: frame
    bought: Hex bolt ISO 4014 M10x90
    standard: ISO 4014
    count: 2
    mass: 70 g
    on: axle-plate copy 2
"""
