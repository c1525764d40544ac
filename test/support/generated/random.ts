/** Random numbers that are the same for the same seed (mulberry32). */
export class Random {
  private state: number;

  constructor(seed: number) {
    this.state = seed >>> 0;
  }

  /** From 0 up to but not including 1. */
  next(): number {
    this.state = (this.state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(this.state ^ (this.state >>> 15), this.state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  }

  below(count: number): number {
    return Math.floor(this.next() * count);
  }

  chance(share: number): boolean {
    return this.next() < share;
  }

  of<T>(values: readonly T[]): T {
    return values[this.below(values.length)] as T;
  }

  bytes(count: number): Buffer {
    return Buffer.from(Array.from({ length: count }, () => this.below(256)));
  }
}

/** Random numbers for one input, which can then be built again without the inputs before it. */
export function randomOf(seed: number, index: number): Random {
  return new Random(Math.imul(seed ^ 0x9e3779b9, 0x85ebca6b) + Math.imul(index + 1, 0xc2b2ae35));
}

const TEXTS = [
  ...['', ' ', '\t\n', '0', '-0', '-1', '1e308', 'NaN', 'Infinity', '-Infinity', '1e999', '0x10', '1_000'],
  ...['null', 'undefined', 'true', '[object Object]', '__proto__', 'constructor', 'toString', 'prototype'],
  ...['\u0000', 'a\u0000b', '\ud800', '\udc00x', '\ufeff', '\u202eabc', 'e\u0301', '😀'.repeat(50), 'ﬁ', 'İ'],
  ...[
    "'; drop table vehicles; --",
    '%',
    '_',
    '\\',
    '%s%n',
    '${7*7}',
    '{{7*7}}',
    '<script>',
    '../../etc/passwd',
  ],
  ...[
    '2026-02-30',
    '2026-13-01',
    '0000-00-00',
    '9999-12-31',
    '2026-04-02T25:00:00Z',
    '+275760-09-13T00:00:00Z',
  ],
  ...['2026-04-02T10:00:00+99:99', '-000001-01-01T00:00:00Z', '2026-04-02T23:59:60Z', '24:00', 'infinity'],
  ...['00000000-0000-0000-0000-000000000000', 'ffffffff-ffff-ffff-ffff-ffffffffffff', '{x}', 'urn:uuid:x'],
  ...[
    'Etc/GMT+99',
    'America/Nowhere',
    'furlong',
    'http://[::1',
    'http://127.0.0.1:0/',
    'a@b',
    'a@b\r\nBcc: c@d',
  ],
  'x'.repeat(5000),
];
const NUMBERS = [
  ...[
    0,
    -0,
    -1,
    1,
    0.1,
    1e-320,
    1e21,
    1e300,
    -1e300,
    2 ** 31,
    -(2 ** 31),
    2 ** 53,
    2 ** 63,
    1.7976931348623157e308,
  ],
  ...[9_999_999, 10_000_000, 10_000_001, 0.5, 1.005, 255, 256, 65_536],
];

function nested(depth: number, isList: boolean): unknown {
  let value: unknown = 1;
  for (let level = 0; level < depth; level++) value = isList ? [value] : { a: value };
  return value;
}

/** A value that hardly any field accepts. */
export function oddValue(random: Random): unknown {
  const makers: (() => unknown)[] = [
    () => random.of(TEXTS),
    () => random.of(NUMBERS),
    () => random.of([null, true, false, [], {}, [null], [[]], [{}], { value: null, unit: null }]),
    () => ({
      value: random.of(NUMBERS),
      unit: random.of(['km', 'mi', 'h', 'psi', 'C', 'F', 'L', 'N.m', 'constructor']),
    }),
    () => nested(random.of([2, 20, 25, 200]), random.chance(0.5)),
    () =>
      Array.from({ length: random.of([2, 41, 101, 5001]) }, () => random.of([null, 0, 'x', {}] as unknown[])),
    () => Object.fromEntries(Array.from({ length: random.of([1, 150]) }, (_, n) => [`f${n}`, n])),
    () => ({ [random.of(['constructor', 'toString', 'hasOwnProperty', 'a\u0000', 'a/b~c', ''])]: { x: 1 } }),
  ];
  return random.of(makers)();
}

export const oddText = (random: Random): string => random.of(TEXTS);
