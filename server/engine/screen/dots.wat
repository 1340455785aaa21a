;; The inner loops of halftones, sixteen pixels at a time. `npm run generate` makes generated/dots.ts of it.
;; A row of film is 16-bit tones, 128 to a plate's tone, and behind them a byte a pixel that is 255 along edges.
(module
  (memory (export "memory") 1)

  ;; Writes 255 for each of `count` tones around which, within one pixel, one of at most `clear` and one of at least
  ;; `solid` lie, else 0. `tones` is the middle one of three rows, each `stride` from the next and padded by a pixel on either side.
  ;; Tells whether there is any.
  (func (export "edges")
    (param $out i32) (param $tones i32) (param $stride i32) (param $clear i32) (param $solid i32) (param $count i32)
    (result i32)
    (local $end i32) (local $row i32) (local $last i32) (local $v v128) (local $least v128) (local $most v128)
    (local $any v128)
    (local.set $end (i32.add (local.get $out) (local.get $count)))
    (loop $next
      (local.set $row (i32.sub (local.get $tones) (local.get $stride)))
      (local.set $last (i32.add (local.get $tones) (local.get $stride)))
      (local.set $least (v128.load (local.get $tones)))
      (local.set $most (local.get $least))
      (loop $rows
        (local.set $v (v128.load (i32.sub (local.get $row) (i32.const 1))))
        (local.set $least (i8x16.min_u (local.get $least) (local.get $v)))
        (local.set $most (i8x16.max_u (local.get $most) (local.get $v)))
        (local.set $v (v128.load (local.get $row)))
        (local.set $least (i8x16.min_u (local.get $least) (local.get $v)))
        (local.set $most (i8x16.max_u (local.get $most) (local.get $v)))
        (local.set $v (v128.load (i32.add (local.get $row) (i32.const 1))))
        (local.set $least (i8x16.min_u (local.get $least) (local.get $v)))
        (local.set $most (i8x16.max_u (local.get $most) (local.get $v)))
        (local.set $row (i32.add (local.get $row) (local.get $stride)))
        (br_if $rows (i32.le_u (local.get $row) (local.get $last))))
      (local.set $v
        (v128.and
          (i8x16.le_u (local.get $least) (i8x16.splat (local.get $clear)))
          (i8x16.ge_u (local.get $most) (i8x16.splat (local.get $solid)))))
      (v128.store (local.get $out) (local.get $v))
      (local.set $any (v128.or (local.get $any) (local.get $v)))
      (local.set $tones (i32.add (local.get $tones) (i32.const 16)))
      (local.set $out (i32.add (local.get $out) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $out) (local.get $end))))
    (v128.any_true (local.get $any)))

  ;; Widens a row of the plate: to each of `count` pixels the tones at its place and at the next one, `parts` 32768ths of the way
  ;; from the one to the other. Tells whether any tone is there.
  (func (export "widen")
    (param $to i32) (param $row i32) (param $places i32) (param $parts i32) (param $count i32) (result i32)
    (local $end i32) (local $v v128) (local $left v128) (local $any v128)
    (local.set $end (i32.add (local.get $to) (i32.shl (local.get $count) (i32.const 1))))
    (loop $next
      (local.set $v (v128.load16_lane align=1 0 (i32.add (local.get $row) (i32.load offset=0 (local.get $places))) (local.get $v)))
      (local.set $v (v128.load16_lane align=1 1 (i32.add (local.get $row) (i32.load offset=4 (local.get $places))) (local.get $v)))
      (local.set $v (v128.load16_lane align=1 2 (i32.add (local.get $row) (i32.load offset=8 (local.get $places))) (local.get $v)))
      (local.set $v (v128.load16_lane align=1 3 (i32.add (local.get $row) (i32.load offset=12 (local.get $places))) (local.get $v)))
      (local.set $v (v128.load16_lane align=1 4 (i32.add (local.get $row) (i32.load offset=16 (local.get $places))) (local.get $v)))
      (local.set $v (v128.load16_lane align=1 5 (i32.add (local.get $row) (i32.load offset=20 (local.get $places))) (local.get $v)))
      (local.set $v (v128.load16_lane align=1 6 (i32.add (local.get $row) (i32.load offset=24 (local.get $places))) (local.get $v)))
      (local.set $v (v128.load16_lane align=1 7 (i32.add (local.get $row) (i32.load offset=28 (local.get $places))) (local.get $v)))
      (local.set $any (v128.or (local.get $any) (local.get $v)))
      (local.set $left (i16x8.shl (v128.and (local.get $v) (i16x8.splat (i32.const 255))) (i32.const 7)))
      (v128.store
        (local.get $to)
        (i16x8.add
          (local.get $left)
          (i16x8.q15mulr_sat_s
            (i16x8.sub
              (i16x8.shl (i16x8.shr_u (local.get $v) (i32.const 8)) (i32.const 7))
              (local.get $left))
            (v128.load (local.get $parts)))))
      (local.set $places (i32.add (local.get $places) (i32.const 32)))
      (local.set $parts (i32.add (local.get $parts) (i32.const 16)))
      (local.set $to (i32.add (local.get $to) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $to) (local.get $end))))
    (v128.any_true (local.get $any)))

  ;; Widens where edges run: 255 where one runs at a pixel's place or at the next one.
  (func (export "widenEdges")
    (param $to i32) (param $row i32) (param $places i32) (param $count i32)
    (local $end i32) (local $v v128)
    (local.set $end (i32.add (local.get $to) (local.get $count)))
    (loop $next
      (local.set $v (v128.load16_lane align=1 0 (i32.add (local.get $row) (i32.load offset=0 (local.get $places))) (local.get $v)))
      (local.set $v (v128.load16_lane align=1 1 (i32.add (local.get $row) (i32.load offset=4 (local.get $places))) (local.get $v)))
      (local.set $v (v128.load16_lane align=1 2 (i32.add (local.get $row) (i32.load offset=8 (local.get $places))) (local.get $v)))
      (local.set $v (v128.load16_lane align=1 3 (i32.add (local.get $row) (i32.load offset=12 (local.get $places))) (local.get $v)))
      (local.set $v (v128.load16_lane align=1 4 (i32.add (local.get $row) (i32.load offset=16 (local.get $places))) (local.get $v)))
      (local.set $v (v128.load16_lane align=1 5 (i32.add (local.get $row) (i32.load offset=20 (local.get $places))) (local.get $v)))
      (local.set $v (v128.load16_lane align=1 6 (i32.add (local.get $row) (i32.load offset=24 (local.get $places))) (local.get $v)))
      (local.set $v (v128.load16_lane align=1 7 (i32.add (local.get $row) (i32.load offset=28 (local.get $places))) (local.get $v)))
      (local.set $v (i16x8.ne (local.get $v) (i16x8.splat (i32.const 0))))
      (v128.store64_lane 0 (local.get $to) (i8x16.narrow_i16x8_s (local.get $v) (local.get $v)))
      (local.set $places (i32.add (local.get $places) (i32.const 32)))
      (local.set $to (i32.add (local.get $to) (i32.const 8)))
      (br_if $next (i32.lt_u (local.get $to) (local.get $end)))))

  ;; Writes `count` bits to `out`, the first one highest: 1 where the tones, `part` 32768ths of the way from the row `above`
  ;; to the row `below`, reach those at `from`, or half of solid along edges. `from` begins again after `period` bytes, and
  ;; can be read 32 bytes beyond them.
  (func (export "dots")
    (param $out i32) (param $above i32) (param $below i32) (param $part i32)
    (param $from i32) (param $period i32) (param $count i32)
    (local $end i32) (local $over i32) (local $edgesAbove i32) (local $edgesBelow i32)
    (local $parts v128) (local $half v128) (local $a v128) (local $edge v128) (local $first v128) (local $second v128)
    (local.set $parts (i16x8.splat (local.get $part)))
    (local.set $half (i16x8.splat (i32.const 16384)))
    (local.set $edgesAbove (i32.add (local.get $above) (i32.shl (local.get $count) (i32.const 1))))
    (local.set $edgesBelow (i32.add (local.get $below) (i32.shl (local.get $count) (i32.const 1))))
    (local.set $end (local.get $edgesAbove))
    (local.set $over (i32.add (local.get $from) (local.get $period)))
    (loop $next
      (local.set $edge
        (v128.or (v128.load (local.get $edgesAbove)) (v128.load (local.get $edgesBelow))))
      (local.set $a (v128.load (local.get $above)))
      (local.set $first
        (i16x8.ge_s
          (i16x8.add
            (local.get $a)
            (i16x8.q15mulr_sat_s
              (i16x8.sub (v128.load (local.get $below)) (local.get $a))
              (local.get $parts)))
          (v128.bitselect
            (local.get $half)
            (v128.load (local.get $from))
            (i16x8.extend_low_i8x16_s (local.get $edge)))))
      (local.set $a (v128.load offset=16 (local.get $above)))
      (local.set $second
        (i16x8.ge_s
          (i16x8.add
            (local.get $a)
            (i16x8.q15mulr_sat_s
              (i16x8.sub (v128.load offset=16 (local.get $below)) (local.get $a))
              (local.get $parts)))
          (v128.bitselect
            (local.get $half)
            (v128.load offset=16 (local.get $from))
            (i16x8.extend_high_i8x16_s (local.get $edge)))))
      (i32.store16
        (local.get $out)
        (i8x16.bitmask
          (i8x16.shuffle 7 6 5 4 3 2 1 0 15 14 13 12 11 10 9 8
            (i8x16.narrow_i16x8_s (local.get $first) (local.get $second))
            (local.get $edge))))
      (local.set $out (i32.add (local.get $out) (i32.const 2)))
      (local.set $above (i32.add (local.get $above) (i32.const 32)))
      (local.set $below (i32.add (local.get $below) (i32.const 32)))
      (local.set $edgesAbove (i32.add (local.get $edgesAbove) (i32.const 16)))
      (local.set $edgesBelow (i32.add (local.get $edgesBelow) (i32.const 16)))
      (local.set $from (i32.add (local.get $from) (i32.const 32)))
      (if (i32.ge_u (local.get $from) (local.get $over))
        (then (local.set $from (i32.sub (local.get $from) (local.get $period)))))
      (br_if $next (i32.lt_u (local.get $above) (local.get $end))))))
