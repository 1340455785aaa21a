;; Prints pixels from tabled overprints. `npm run generate` makes generated/pixels.ts of it. A colour is four floats, of which three
;; count: the mixing bands, or linear sRGB. Where the tables lie is pixels.ts's to say.
(module
  (memory (export "memory") 1)

  ;; The halftones of the pixel in hand: the area of each, the way from overprints without it to those with it, its tone, and its
  ;; station. 16 bytes a halftone.
  (global $halftones (mut i32) (i32.const 0))
  ;; The plates that have ink in the sixteen pixels in hand: where their tones are, where their areas, the same way, and the station.
  ;; 16 bytes a plate.
  (global $plates (mut i32) (i32.const 0))
  ;; Where the dots of several stations nest: each one's overlaps, row by row of its own tones; where in a row those with a station of
  ;; its curve are; the number of its lattice; and how far from the overlaps lies what two halftones cover both. 16 bytes a station.
  ;; 0 where none nest.
  (global $stations (mut i32) (i32.const 0))
  ;; The halftones of the pixel in hand, lattice by lattice, the least area first: area, way, row of overlaps, place in others' rows,
  ;; lattice. 32 bytes a halftone, and where they end.
  (global $sorted (mut i32) (i32.const 0))
  (global $sortedEnd (mut i32) (i32.const 0))
  (global $table (mut i32) (i32.const 0))
  (global $areas (mut i32) (i32.const 0))
  (global $bytes (mut i32) (i32.const 0))
  (global $lastByte (mut i32) (i32.const 0))
  (global $raised (mut i32) (i32.const 0))
  (global $lastRaised (mut i32) (i32.const 0))
  (global $toRgb (mut i32) (i32.const 0))

  ;; Tables of a print: halftones and plates (room for one a station each); overprints; areas, 256 floats a station; bytes of linear light, from 0 up
  ;; to `lastByte`; and where bands are roots, their powers, a step each as many as make 1, up to `lastRaised`, and the three columns
  ;; of the way to linear sRGB; else `toRgb` is 0. Stations and room to sort halftones, where dots nest; else `stations` is 0.
  (func (export "take")
    (param $h i32) (param $p i32) (param $s i32) (param $sorted i32) (param $o i32) (param $a i32) (param $b i32) (param $lastByte i32)
    (param $r i32) (param $lastRaised i32) (param $toRgb i32)
    (global.set $halftones (local.get $h))
    (global.set $plates (local.get $p))
    (global.set $stations (local.get $s))
    (global.set $sorted (local.get $sorted))
    (global.set $table (local.get $o))
    (global.set $areas (local.get $a))
    (global.set $bytes (local.get $b))
    (global.set $lastByte (local.get $lastByte))
    (global.set $raised (local.get $r))
    (global.set $lastRaised (local.get $lastRaised))
    (global.set $toRgb (local.get $toRgb)))

  (func $between (param $from v128) (param $to v128) (param $share v128) (result v128)
    (f32x4.add
      (local.get $from)
      (f32x4.mul (f32x4.sub (local.get $to) (local.get $from)) (local.get $share))))

  ;; The overprint at `base` with the first two halftones on it: linear in the area of each. A call a step would take longer than the step.
  (func $two (param $base i32) (result v128)
    (local $on i32) (local $area v128) (local $other i32) (local $x v128) (local $y v128)
    (local.set $on (i32.load offset=4 (global.get $halftones)))
    (local.set $area (v128.load32_splat (global.get $halftones)))
    (local.set $other (i32.add (local.get $base) (i32.load offset=20 (global.get $halftones))))
    (local.set $x (v128.load (local.get $base)))
    (local.set $x
      (f32x4.add
        (local.get $x)
        (f32x4.mul
          (f32x4.sub (v128.load (i32.add (local.get $base) (local.get $on))) (local.get $x))
          (local.get $area))))
    (local.set $y (v128.load (local.get $other)))
    (local.set $y
      (f32x4.add
        (local.get $y)
        (f32x4.mul
          (f32x4.sub (v128.load (i32.add (local.get $other) (local.get $on))) (local.get $y))
          (local.get $area))))
    (f32x4.add
      (local.get $x)
      (f32x4.mul
        (f32x4.sub (local.get $y) (local.get $x))
        (v128.load32_splat offset=16 (global.get $halftones)))))

  ;; The same with the first `count`, which are 2 or more.
  (func $more (param $base i32) (param $count i32) (result v128)
    (local $last i32) (local $x v128) (local $with i32)
    (if (i32.eq (local.get $count) (i32.const 2)) (then (return (call $two (local.get $base)))))
    (local.set $count (i32.sub (local.get $count) (i32.const 1)))
    (local.set $last (i32.add (global.get $halftones) (i32.shl (local.get $count) (i32.const 4))))
    (local.set $with (i32.add (local.get $base) (i32.load offset=4 (local.get $last))))
    (if (i32.eq (local.get $count) (i32.const 2))
      (then
        (local.set $x (call $two (local.get $base)))
        (return
          (f32x4.add
            (local.get $x)
            (f32x4.mul
              (f32x4.sub (call $two (local.get $with)) (local.get $x))
              (v128.load32_splat (local.get $last)))))))
    (local.set $x (call $more (local.get $base) (local.get $count)))
    (f32x4.add
      (local.get $x)
      (f32x4.mul
        (f32x4.sub (call $more (local.get $with) (local.get $count)) (local.get $x))
        (v128.load32_splat (local.get $last)))))

  (func $mixed (param $base i32) (param $count i32) (result v128)
    (local $x v128)
    (if (i32.gt_u (local.get $count) (i32.const 1))
      (then (return (call $more (local.get $base) (local.get $count)))))
    (local.set $x (v128.load (local.get $base)))
    (if (i32.eqz (local.get $count)) (then (return (local.get $x))))
    (f32x4.add
      (local.get $x)
      (f32x4.mul
        (f32x4.sub
          (v128.load (i32.add (local.get $base) (i32.load offset=4 (global.get $halftones))))
          (local.get $x))
        (v128.load32_splat (global.get $halftones)))))

  ;; Sorts the first `count` halftones by lattice and area: there are few, and they lie in order as often as not.
  (func $sort (param $count i32)
    (local $from i32) (local $stop i32) (local $at i32) (local $before i32) (local $station i32) (local $tone i32) (local $lattice i32) (local $area f32)
    (local.set $from (global.get $halftones))
    (local.set $stop (i32.add (local.get $from) (i32.shl (local.get $count) (i32.const 4))))
    (global.set $sortedEnd (global.get $sorted))
    (loop $next
      (local.set $station (i32.load offset=12 (local.get $from)))
      (local.set $tone (i32.load offset=8 (local.get $from)))
      (local.set $area (f32.load (local.get $from)))
      (local.set $lattice (i32.load offset=8 (local.get $station)))
      (local.set $at (global.get $sortedEnd))
      (block $found
        (loop $down
          (br_if $found (i32.eq (local.get $at) (global.get $sorted)))
          (local.set $before (i32.sub (local.get $at) (i32.const 32)))
          (br_if $found (i32.lt_u (i32.load offset=16 (local.get $before)) (local.get $lattice)))
          (br_if $found
            (i32.and
              (i32.eq (i32.load offset=16 (local.get $before)) (local.get $lattice))
              (f32.le (f32.load (local.get $before)) (local.get $area))))
          (v128.store (local.get $at) (v128.load (local.get $before)))
          (i32.store offset=16 (local.get $at) (i32.load offset=16 (local.get $before)))
          (local.set $at (local.get $before))
          (br $down)))
      (f32.store (local.get $at) (local.get $area))
      (i32.store offset=4 (local.get $at) (i32.load offset=4 (local.get $from)))
      (i32.store offset=8 (local.get $at)
        (i32.add (i32.load (local.get $station)) (i32.shl (local.get $tone) (i32.const 10))))
      (i32.store offset=12 (local.get $at)
        (i32.add (i32.load offset=4 (local.get $station)) (i32.shl (local.get $tone) (i32.const 2))))
      (i32.store offset=16 (local.get $at) (local.get $lattice))
      (global.set $sortedEnd (i32.add (global.get $sortedEnd) (i32.const 32)))
      (br_if $next
        (i32.lt_u
          (local.tee $from (i32.add (local.get $from) (i32.const 16)))
          (local.get $stop)))))

  ;; The sorted halftones from `from` on, with those already placed up to `at`, over the overprint at `base`. Where several share a
  ;; lattice, what lies between one's area and the next one's is mixed by itself: nesting.ts says why.
  (func $rings (param $from i32) (param $base i32) (param $at i32) (result v128)
    (local $to i32) (local $lattice i32) (local $sum v128) (local $low f32) (local $high f32) (local $width f32) (local $one f32)
    (local $k i32) (local $i i32) (local $on i32) (local $place i32) (local $share f32)
    (block $several
      (loop $alone
        (if (i32.eq (local.get $from) (global.get $sortedEnd))
          (then
            (return
              (call $mixed
                (local.get $base)
                (i32.shr_u (i32.sub (local.get $at) (global.get $halftones)) (i32.const 4))))))
        (local.set $lattice (i32.load offset=16 (local.get $from)))
        (local.set $to (i32.add (local.get $from) (i32.const 32)))
        (block $end
          (loop $more
            (br_if $end (i32.eq (local.get $to) (global.get $sortedEnd)))
            (br_if $end (i32.ne (i32.load offset=16 (local.get $to)) (local.get $lattice)))
            (local.set $to (i32.add (local.get $to) (i32.const 32)))
            (br $more)))
        (br_if $several (i32.gt_u (i32.sub (local.get $to) (local.get $from)) (i32.const 32)))
        (i64.store (local.get $at) (i64.load (local.get $from)))
        (local.set $at (i32.add (local.get $at) (i32.const 16)))
        (local.set $from (local.get $to))
        (br $alone)))
    (local.set $k (local.get $from))
    (loop $next
      (local.set $high
        (if (result f32) (i32.eq (local.get $k) (local.get $to))
          (then (f32.const 1))
          (else (f32.load (local.get $k)))))
      (local.set $width (f32.sub (local.get $high) (local.get $low)))
      (if (f32.gt (local.get $width) (f32.const 0.00001))
        (then
          (local.set $one (f32.div (f32.const 1) (local.get $width)))
          (local.set $on (local.get $base))
          (local.set $place (local.get $at))
          (local.set $i (local.get $from))
          (loop $each
            (local.set $share
              (if (result f32) (i32.eq (local.get $k) (local.get $to))
                (then (f32.load (local.get $i)))
                (else
                  (f32.load
                    (i32.add (i32.load offset=8 (local.get $i)) (i32.load offset=12 (local.get $k)))))))
            (if (i32.ne (local.get $k) (local.get $from))
              (then
                (local.set $share
                  (f32.sub
                    (local.get $share)
                    (f32.load
                      (i32.add
                        (i32.load offset=8 (local.get $i))
                        (i32.load offset=12 (i32.sub (local.get $k) (i32.const 32)))))))))
            (local.set $share (f32.mul (local.get $share) (local.get $one)))
            (if (f32.gt (local.get $share) (f32.const 0.998))
              (then (local.set $on (i32.add (local.get $on) (i32.load offset=4 (local.get $i)))))
              (else
                (if (f32.ge (local.get $share) (f32.const 0.002))
                  (then
                    (f32.store (local.get $place) (local.get $share))
                    (i32.store offset=4 (local.get $place) (i32.load offset=4 (local.get $i)))
                    (local.set $place (i32.add (local.get $place) (i32.const 16)))))))
            (br_if $each
              (i32.lt_u (local.tee $i (i32.add (local.get $i) (i32.const 32))) (local.get $to))))
          (local.set $sum
            (f32x4.add
              (local.get $sum)
              (f32x4.mul
                (f32x4.splat (local.get $width))
                (call $rings (local.get $to) (local.get $on) (local.get $place)))))))
      (local.set $low (local.get $high))
      (br_if $next
        (i32.le_u (local.tee $k (i32.add (local.get $k) (i32.const 32))) (local.get $to))))
    (local.get $sum))

  ;; The first two halftones over the overprint at `base`: where they nest, what both of them cover is tabled.
  (func $pair (param $base i32) (result v128)
    (local $one i32) (local $other i32) (local $a f32) (local $b f32) (local $both f32) (local $with i32)
    (local.set $one (i32.load offset=12 (global.get $halftones)))
    (local.set $other (i32.load offset=28 (global.get $halftones)))
    (if (i32.ne (i32.load offset=8 (local.get $one)) (i32.load offset=8 (local.get $other)))
      (then (return (call $two (local.get $base)))))
    (local.set $a (f32.load (global.get $halftones)))
    (local.set $b (f32.load offset=16 (global.get $halftones)))
    (local.set $both
      (f32.load
        (i32.add
          (i32.add
            (i32.add (i32.load (local.get $one)) (i32.load offset=12 (local.get $one)))
            (i32.shl (i32.load offset=8 (global.get $halftones)) (i32.const 10)))
          (i32.add
            (i32.load offset=4 (local.get $other))
            (i32.shl (i32.load offset=24 (global.get $halftones)) (i32.const 2))))))
    (local.set $with (i32.add (local.get $base) (i32.load offset=4 (global.get $halftones))))
    (local.set $other (i32.load offset=20 (global.get $halftones)))
    (f32x4.add
      (f32x4.add
        (f32x4.mul
          (v128.load (local.get $base))
          (f32x4.splat
            (f32.add
              (f32.sub (f32.sub (f32.const 1) (local.get $a)) (local.get $b))
              (local.get $both))))
        (f32x4.mul
          (v128.load (local.get $with))
          (f32x4.splat (f32.sub (local.get $a) (local.get $both)))))
      (f32x4.add
        (f32x4.mul
          (v128.load (i32.add (local.get $base) (local.get $other)))
          (f32x4.splat (f32.sub (local.get $b) (local.get $both))))
        (f32x4.mul
          (v128.load (i32.add (local.get $with) (local.get $other)))
          (f32x4.splat (local.get $both))))))

  ;; Of the plates noted, those that are neither clear nor solid at a pixel are mixed with the overprint of the solid ones. Every plate
  ;; is written down as a halftone, and the next one over it where it was none: a branch a plate would be guessed wrong too often.
  (func $colour (param $pixel i32) (param $end i32) (result v128)
    (local $plate i32) (local $base i32) (local $area f32) (local $at i32) (local $solid i32) (local $bit i32) (local $tone i32)
    (local.set $base (global.get $table))
    (local.set $at (global.get $halftones))
    (local.set $plate (global.get $plates))
    (if (i32.lt_u (local.get $plate) (local.get $end))
      (then
        (loop $next
          (local.set $tone (i32.load8_u (i32.add (i32.load (local.get $plate)) (local.get $pixel))))
          (local.set $area
            (f32.load
              (i32.add (i32.load offset=4 (local.get $plate)) (i32.shl (local.get $tone) (i32.const 2)))))
          (local.set $bit (i32.load offset=8 (local.get $plate)))
          (f32.store (local.get $at) (local.get $area))
          (i32.store offset=4 (local.get $at) (local.get $bit))
          (i32.store offset=8 (local.get $at) (local.get $tone))
          (i32.store offset=12 (local.get $at) (i32.load offset=12 (local.get $plate)))
          (local.set $solid (f32.ge (local.get $area) (f32.const 1)))
          (local.set $base (i32.add (local.get $base) (i32.mul (local.get $solid) (local.get $bit))))
          (local.set $at
            (i32.add
              (local.get $at)
              (i32.shl
                (i32.gt_u (f32.gt (local.get $area) (f32.const 0)) (local.get $solid))
                (i32.const 4))))
          (br_if $next
            (i32.lt_u
              (local.tee $plate (i32.add (local.get $plate) (i32.const 16)))
              (local.get $end))))))
    (local.set $tone (i32.shr_u (i32.sub (local.get $at) (global.get $halftones)) (i32.const 4)))
    (if (global.get $stations)
      (then
        (if (i32.eq (local.get $tone) (i32.const 2)) (then (return (call $pair (local.get $base)))))
        (if (i32.gt_u (local.get $tone) (i32.const 1))
          (then
            (call $sort (local.get $tone))
            (return (call $rings (global.get $sorted) (local.get $base) (global.get $halftones)))))))
    (call $mixed (local.get $base) (local.get $tone)))

  ;; The nearest of `last` equal steps of 0 up to `one`; what lies outside is brought to the ends.
  (func $step (param $v v128) (param $one i32) (param $last i32) (result v128)
    (i32x4.min_u
      (i32x4.trunc_sat_f32x4_u
        (f32x4.add
          (f32x4.mul (local.get $v) (f32x4.splat (f32.convert_i32_u (local.get $one))))
          (f32x4.splat (f32.const 0.5))))
      (i32x4.splat (local.get $last))))

  (func $power (param $step i32) (result v128)
    (v128.load32_splat (i32.add (global.get $raised) (i32.shl (local.get $step) (i32.const 2)))))

  ;; 8-bit sRGB and 255, the first byte lowest.
  (func $encoded (param $v v128) (result i32)
    (local $steps v128)
    (if (global.get $toRgb)
      (then
        (local.set $steps
          (call $step (local.get $v) (global.get $lastByte) (global.get $lastRaised)))
        (local.set $v
          (f32x4.add
            (f32x4.add
              (f32x4.mul
                (v128.load (global.get $toRgb))
                (call $power (i32x4.extract_lane 0 (local.get $steps))))
              (f32x4.mul
                (v128.load offset=16 (global.get $toRgb))
                (call $power (i32x4.extract_lane 1 (local.get $steps)))))
            (f32x4.mul
              (v128.load offset=32 (global.get $toRgb))
              (call $power (i32x4.extract_lane 2 (local.get $steps))))))))
    (local.set $steps (call $step (local.get $v) (global.get $lastByte) (global.get $lastByte)))
    (i32.or
      (i32.or
        (i32.load8_u (i32.add (global.get $bytes) (i32x4.extract_lane 0 (local.get $steps))))
        (i32.shl
          (i32.load8_u (i32.add (global.get $bytes) (i32x4.extract_lane 1 (local.get $steps))))
          (i32.const 8)))
      (i32.or
        (i32.shl
          (i32.load8_u (i32.add (global.get $bytes) (i32x4.extract_lane 2 (local.get $steps))))
          (i32.const 16))
        (i32.const 0xff000000))))

  ;; Prints `count` pixels. Sixteen are looked at together: plates without ink there are passed over, and a pixel of the tones before
  ;; it has its colour. `tones` of the first station's plate, the next plate `stride` further; before each lies the tone of the pixel
  ;; before, of `colour`, unless it is the `first` one. Writes `pitch` bytes a pixel, 3 or 4, and one beyond the last; returns its colour.
  (func (export "print")
    (param $tones i32) (param $stride i32) (param $stations i32) (param $count i32) (param $first i32)
    (param $out i32) (param $pitch i32) (param $colour i32) (result i32)
    (local $end i32) (local $stop i32) (local $same v128) (local $here v128) (local $s i32) (local $at i32) (local $alike i32)
    (local $areas i32) (local $bit i32) (local $plate i32) (local $pixel i32) (local $station i32)
    (local.set $end (i32.add (local.get $tones) (local.get $count)))
    (loop $steps
      (local.set $same (i8x16.splat (i32.const 255)))
      (local.set $s (local.get $stations))
      (local.set $at (local.get $tones))
      (local.set $areas (global.get $areas))
      (local.set $station (global.get $stations))
      (local.set $bit (i32.const 16))
      (local.set $plate (global.get $plates))
      (if (local.get $s)
        (then
          (loop $look
            (local.set $here (v128.load (local.get $at)))
            (local.set $same
              (v128.and
                (local.get $same)
                (i8x16.eq (local.get $here) (v128.load (i32.sub (local.get $at) (i32.const 1))))))
            (i32.store (local.get $plate) (local.get $at))
            (i32.store offset=4 (local.get $plate) (local.get $areas))
            (i32.store offset=8 (local.get $plate) (local.get $bit))
            (i32.store offset=12 (local.get $plate) (local.get $station))
            (local.set $plate
              (i32.add (local.get $plate) (i32.shl (v128.any_true (local.get $here)) (i32.const 4))))
            (local.set $at (i32.add (local.get $at) (local.get $stride)))
            (local.set $areas (i32.add (local.get $areas) (i32.const 1024)))
            (local.set $station (i32.add (local.get $station) (i32.const 16)))
            (local.set $bit (i32.shl (local.get $bit) (i32.const 1)))
            (br_if $look (local.tee $s (i32.sub (local.get $s) (i32.const 1)))))))
      (local.set $alike (i8x16.bitmask (local.get $same)))
      (if (local.get $first)
        (then
          (local.set $alike (i32.and (local.get $alike) (i32.const 0xfffe)))
          (local.set $first (i32.const 0))))
      (local.set $stop (i32.sub (local.get $end) (local.get $tones)))
      (if (i32.gt_u (local.get $stop) (i32.const 16)) (then (local.set $stop (i32.const 16))))
      (local.set $pixel (i32.const 0))
      (loop $pixels
        (if (i32.eqz (i32.and (local.get $alike) (i32.const 1)))
          (then (local.set $colour (call $encoded (call $colour (local.get $pixel) (local.get $plate))))))
        (local.set $alike (i32.shr_u (local.get $alike) (i32.const 1)))
        (i32.store align=1 (local.get $out) (local.get $colour))
        (local.set $out (i32.add (local.get $out) (local.get $pitch)))
        (local.set $pixel (i32.add (local.get $pixel) (i32.const 1)))
        (br_if $pixels (i32.lt_u (local.get $pixel) (local.get $stop))))
      (local.set $tones (i32.add (local.get $tones) (i32.const 16)))
      (br_if $steps (i32.lt_u (local.get $tones) (local.get $end))))
    (local.get $colour)))
