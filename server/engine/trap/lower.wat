;; The inner loops of choke and spread, sixteen tones at a time. `npm run generate` makes generated/lower.ts of it.
(module
  (memory (export "memory") 1)

  ;; How far down each of `count` tones at `row` may be drawn: to the least of its eight neighbours where it lies on an
  ;; edge, and else not at all. `above` and `below` are the rows beside it. Written to `out`.
  (func (export "floors") (param $out i32) (param $above i32) (param $row i32) (param $below i32) (param $count i32)
    (local $end i32)
    (local $least v128)
    (local $most v128)
    (local $tone v128)
    (local $steep v128)
    (local $open v128)
    (local.set $end (i32.add (local.get $out) (local.get $count)))
    (loop $next
      (local.set $tone (v128.load (local.get $row)))
      (local.set $least (call $around_min (local.get $above)))
      (local.set $most (call $around_max (local.get $above)))
      (local.set $least (i8x16.min_u (local.get $least) (call $around_min (local.get $row))))
      (local.set $most (i8x16.max_u (local.get $most) (call $around_max (local.get $row))))
      (local.set $least (i8x16.min_u (local.get $least) (call $around_min (local.get $below))))
      (local.set $most (i8x16.max_u (local.get $most) (call $around_max (local.get $below))))
      ;; Three times what the contrast has over 128, and sixteen times what the tone lacks to the greatest around it.
      (local.set $steep (i8x16.sub_sat_u
        (i8x16.sub_sat_u (local.get $most) (local.get $least))
        (i8x16.splat (i32.const 128))))
      (local.set $steep
        (i8x16.add_sat_u (local.get $steep) (i8x16.add_sat_u (local.get $steep) (local.get $steep))))
      (local.set $open (i8x16.sub_sat_u (local.get $most) (local.get $tone)))
      (local.set $open (i8x16.add_sat_u (local.get $open) (local.get $open)))
      (local.set $open (i8x16.add_sat_u (local.get $open) (local.get $open)))
      (local.set $open (i8x16.add_sat_u (local.get $open) (local.get $open)))
      (local.set $open (i8x16.add_sat_u (local.get $open) (local.get $open)))
      (v128.store
        (local.get $out)
        (i8x16.sub_sat_u
          (local.get $tone)
          (i8x16.min_u
            (i8x16.sub_sat_u (local.get $tone) (local.get $least))
            (i8x16.min_u (local.get $steep) (local.get $open)))))
      (local.set $out (i32.add (local.get $out) (i32.const 16)))
      (local.set $above (i32.add (local.get $above) (i32.const 16)))
      (local.set $row (i32.add (local.get $row) (i32.const 16)))
      (local.set $below (i32.add (local.get $below) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $out) (local.get $end)))))

  (func $around_min (param $at i32) (result v128)
    (i8x16.min_u
      (v128.load (local.get $at))
      (i8x16.min_u
        (v128.load (i32.sub (local.get $at) (i32.const 1)))
        (v128.load (i32.add (local.get $at) (i32.const 1))))))

  (func $around_max (param $at i32) (result v128)
    (i8x16.max_u
      (v128.load (local.get $at))
      (i8x16.max_u
        (v128.load (i32.sub (local.get $at) (i32.const 1)))
        (v128.load (i32.add (local.get $at) (i32.const 1))))))

  ;; Lowers `count` tones at `to` to the lesser of those at `before` and at `behind`, each drawn down by `takes`, but not
  ;; below its floor: floors lie `floors` bytes behind their tones.
  (func (export "sink")
    (param $to i32) (param $before i32) (param $behind i32) (param $floors i32) (param $takes i32) (param $count i32)
    (local $end i32)
    (local $less v128)
    (local.set $end (i32.add (local.get $to) (local.get $count)))
    (local.set $less (i8x16.splat (local.get $takes)))
    (loop $next
      (v128.store
        (local.get $to)
        (i8x16.min_u
          (v128.load (local.get $to))
          (i8x16.min_u
            (i8x16.max_u
              (v128.load (i32.add (local.get $before) (local.get $floors)))
              (i8x16.sub_sat_u (v128.load (local.get $before)) (local.get $less)))
            (i8x16.max_u
              (v128.load (i32.add (local.get $behind) (local.get $floors)))
              (i8x16.sub_sat_u (v128.load (local.get $behind)) (local.get $less))))))
      (local.set $to (i32.add (local.get $to) (i32.const 16)))
      (local.set $before (i32.add (local.get $before) (i32.const 16)))
      (local.set $behind (i32.add (local.get $behind) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $to) (local.get $end)))))

  ;; Midpoints of the squares of four pixels that two rows make, `count` of them at `out`, their floors `floors` bytes
  ;; behind: between two edge pixels that lie across, their mean; elsewhere 255, which lowers nothing. The rows' floors lie
  ;; at `above_floors` and `below_floors`.
  (func (export "midpoints")
    (param $out i32) (param $floors i32) (param $above i32) (param $above_floors i32)
    (param $below i32) (param $below_floors i32) (param $count i32)
    (local $end i32)
    (local $tones v128)
    (local $least v128)
    (local $both v128)
    (local.set $end (i32.add (local.get $out) (local.get $count)))
    (loop $next
      (local.set $both (call $both_edges
        (local.get $above) (local.get $above_floors)
        (i32.add (local.get $below) (i32.const 1)) (i32.add (local.get $below_floors) (i32.const 1))))
      (local.set $tones (v128.or
        (v128.not (local.get $both))
        (i8x16.avgr_u (v128.load (local.get $above)) (v128.load offset=1 (local.get $below)))))
      (local.set $least (v128.or
        (v128.not (local.get $both))
        (i8x16.min_u (v128.load (local.get $above_floors)) (v128.load offset=1 (local.get $below_floors)))))
      (local.set $both (call $both_edges
        (i32.add (local.get $above) (i32.const 1)) (i32.add (local.get $above_floors) (i32.const 1))
        (local.get $below) (local.get $below_floors)))
      (v128.store
        (local.get $out)
        (i8x16.min_u (local.get $tones) (v128.or
          (v128.not (local.get $both))
          (i8x16.avgr_u (v128.load offset=1 (local.get $above)) (v128.load (local.get $below))))))
      (v128.store
        (i32.add (local.get $out) (local.get $floors))
        (i8x16.min_u (local.get $least) (v128.or
          (v128.not (local.get $both))
          (i8x16.min_u (v128.load offset=1 (local.get $above_floors)) (v128.load (local.get $below_floors))))))
      (local.set $out (i32.add (local.get $out) (i32.const 16)))
      (local.set $above (i32.add (local.get $above) (i32.const 16)))
      (local.set $above_floors (i32.add (local.get $above_floors) (i32.const 16)))
      (local.set $below (i32.add (local.get $below) (i32.const 16)))
      (local.set $below_floors (i32.add (local.get $below_floors) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $out) (local.get $end)))))

  ;; All ones where both tones lie above their floors.
  (func $both_edges (param $a i32) (param $a_floors i32) (param $b i32) (param $b_floors i32) (result v128)
    (v128.and
      (i8x16.gt_u (v128.load (local.get $a)) (v128.load (local.get $a_floors)))
      (i8x16.gt_u (v128.load (local.get $b)) (v128.load (local.get $b_floors)))))

  ;; Lowers `count` tones at `to` to the lesser of those at `before` and at `behind`, raised by `adds`. Works in whole
  ;; steps of sixteen.
  (func (export "lower")
    (param $to i32) (param $before i32) (param $behind i32) (param $adds i32) (param $count i32)
    (local $end i32)
    (local $raise v128)
    (local.set $end (i32.add (local.get $to) (local.get $count)))
    (local.set $raise (i8x16.splat (local.get $adds)))
    (loop $next
      (v128.store
        (local.get $to)
        (i8x16.min_u
          (v128.load (local.get $to))
          (i8x16.add_sat_u
            (local.get $raise)
            (i8x16.min_u (v128.load (local.get $before)) (v128.load (local.get $behind))))))
      (local.set $to (i32.add (local.get $to) (i32.const 16)))
      (local.set $before (i32.add (local.get $before) (i32.const 16)))
      (local.set $behind (i32.add (local.get $behind) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $to) (local.get $end)))))

  ;; Turns `count` tones at `at` into their complements, in whole steps of sixteen.
  (func (export "complement") (param $at i32) (param $count i32)
    (local $end i32)
    (local.set $end (i32.add (local.get $at) (local.get $count)))
    (loop $next
      (v128.store (local.get $at) (v128.not (v128.load (local.get $at))))
      (local.set $at (i32.add (local.get $at) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $at) (local.get $end))))))
