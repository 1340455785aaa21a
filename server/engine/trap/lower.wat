;; The inner loops of choke and spread, sixteen tones at a time. `npm run generate` makes generated/lower.ts of it.
(module
  (memory (export "memory") 1)

  ;; Lowers `count` tones at `to` to the lesser of the two that lie `dx` before and `dx` behind those at `from`, raised by
  ;; `adds`. Works in whole steps of sixteen.
  (func (export "lower") (param $to i32) (param $from i32) (param $dx i32) (param $adds i32) (param $count i32)
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
            (i8x16.min_u
              (v128.load (i32.sub (local.get $from) (local.get $dx)))
              (v128.load (i32.add (local.get $from) (local.get $dx)))))))
      (local.set $to (i32.add (local.get $to) (i32.const 16)))
      (local.set $from (i32.add (local.get $from) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $to) (local.get $end)))))

  ;; Turns `count` tones at `at` into their complements, in whole steps of sixteen.
  (func (export "complement") (param $at i32) (param $count i32)
    (local $end i32)
    (local.set $end (i32.add (local.get $at) (local.get $count)))
    (loop $next
      (v128.store (local.get $at) (v128.not (v128.load (local.get $at))))
      (local.set $at (i32.add (local.get $at) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $at) (local.get $end))))))
