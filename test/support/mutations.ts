/** A change to one place of a valid body. */
export interface Mutation {
  /** JSON Pointer of the changed place (RFC 6901). */
  pointer: string;
  what: string;
  /**
   * Returns a body with the change, as the text to send. This is JSON, except for values that
   * JSON.stringify cannot write.
   */
  textOf(body: object): string;
}

/** A placeholder in a body for text that JSON.stringify cannot produce. */
class Raw {
  constructor(private readonly text: string) {}

  toJSON(): string {
    return `@raw:${Buffer.from(this.text).toString('base64')}@`;
  }
}

/** Returns the JSON text of a body that may contain raw pieces. */
function textOf(body: unknown): string {
  return JSON.stringify(body).replaceAll(/"@raw:([A-Za-z0-9+/=]*)@"/g, (_match, encoded: string) =>
    Buffer.from(encoded, 'base64').toString(),
  );
}

type Plain = Record<string, unknown>;

function isPlain(value: unknown): value is Plain {
  return typeof value === 'object' && value !== null && !Array.isArray(value) && !(value instanceof Raw);
}

const isQuantity = (value: unknown): value is { value: number; unit: string } =>
  isPlain(value) && 'value' in value && 'unit' in value;

const LONG = 'x'.repeat(20_000);
const NOT_NUMBERS: [string, unknown][] = [
  ['NaN in words', 'NaN'],
  ['a number in quotes', '5'],
  ['true', true],
  ['1e999', new Raw('1e999')],
  ['-1e999', new Raw('-1e999')],
  ['1e300', 1e300],
  ['-1e300', -1e300],
];
const WRONG_SHAPES: [string, unknown][] = [
  ['null', null],
  ['an empty list', []],
  ['an empty object', {}],
];
const DATES: [string, unknown][] = [
  ['31 February', '2026-02-31'],
  ['29 February of a common year', '2026-02-29'],
  ['the year 9999', '9999-12-31'],
  ['the year 0', '0000-01-01'],
  ['a date with a time', '2026-04-02T00:00:00Z'],
  ['infinity', 'infinity'],
];
const INSTANTS: [string, unknown][] = [
  ['31 February', '2026-02-31T10:00:00Z'],
  ['the year 9999', '9999-12-31T23:59:59Z'],
  ['the year 0', '0000-01-01T00:00:00Z'],
  ['no offset', '2026-03-01T10:00:00'],
  ['an impossible offset', '2026-03-01T10:00:00+99:99'],
  ['25 o’clock', '2026-03-01T25:00:00Z'],
  ['a date alone', '2026-03-01'],
  ['a lower-case t and z', '2026-03-01t10:00:00z'],
  ['a space for the T', '2026-03-01 10:00:00Z'],
  ['nanoseconds', '2026-03-01T10:00:00.123456789Z'],
  ['a six-digit year', '+002026-03-01T10:00:00Z'],
];

function textValues(good: string): [string, unknown][] {
  return [
    ...WRONG_SHAPES,
    ['a number', 5],
    ['true', true],
    ['nothing', ''],
    ['blanks', '   '],
    ['a NUL', 'a\u0000b'],
    ['half a surrogate pair', 'a\ud800'],
    ['20,000 characters', LONG],
    ['another word', 'no-such-word'],
    ...(/^\d{4}-\d{2}-\d{2}$/.test(good) ? DATES : []),
    ...(/^\d{4}-\d{2}-\d{2}T/.test(good) ? INSTANTS : []),
    ...(/^[0-9a-f]{8}-[0-9a-f]{4}-/.test(good)
      ? ([
          ['an id of nothing', '00000000-0000-4000-8000-000000000000'],
          ['an id with braces', `{${good}}`],
        ] as [string, unknown][])
      : []),
  ];
}

function quantityValues(good: { value: number; unit: string }): [string, unknown][] {
  return [
    ...WRONG_SHAPES,
    ['a bare number', 5],
    ['text', `${good.value} ${good.unit}`],
    ['no unit', { value: good.value }],
    ['no value', { unit: good.unit }],
    ['a unit that does not exist', { ...good, unit: 'furlong' }],
    ['a unit named as a property of objects', { ...good, unit: 'constructor' }],
    ['a unit of another dimension', { ...good, unit: good.unit === 'h' ? 'kPa' : 'h' }],
    ['a third field', { ...good, precision: 1 }],
    ['null for the value', { ...good, value: null }],
    ...NOT_NUMBERS.map(([what, value]): [string, unknown] => [`${what} for the value`, { ...good, value }]),
  ];
}

const NUMBER_VALUES: [string, unknown][] = [...WRONG_SHAPES, ...NOT_NUMBERS];
const FLAG_VALUES: [string, unknown][] = [...WRONG_SHAPES, ['true in quotes', 'true'], ['1', 1]];

function listValues(good: readonly unknown[]): [string, unknown][] {
  return [
    ['null', null],
    ['an empty list', []],
    ['an empty object', {}],
    ['a number', 5],
    ['text', 'x'],
    ['null inside', [null]],
    ['a list inside', [[]]],
    ['a number inside', [5]],
    ['text inside', ['x']],
    ['an object inside', [{}]],
    ['an infinite number inside', [new Raw('1e999')]],
    ['6,000 entries', Array.from({ length: 6000 }, () => 0)],
    ['the same twice', [...good, ...good]],
  ];
}

function objectValues(good: Plain): [string, unknown][] {
  return [
    ['null', null],
    ['a number', 5],
    ['text', 'x'],
    ['a list', []],
    ['a list with null', [null]],
    ['an empty object', {}],
    ['a field that nobody knows', { ...good, colour: 'red' }],
    ['a field named constructor', { ...good, constructor: { prototype: { admin: true } } }],
    ['a field named toString', { ...good, toString: 'x' }],
    ['a field named with a NUL', { ...good, 'a\u0000': 1 }],
  ];
}

function valuesFor(good: unknown): [string, unknown][] {
  if (typeof good === 'string') return textValues(good);
  if (typeof good === 'number') return NUMBER_VALUES;
  if (typeof good === 'boolean') return FLAG_VALUES;
  if (Array.isArray(good)) return listValues(good);
  if (isQuantity(good)) return quantityValues(good);
  if (isPlain(good)) return objectValues(good);
  throw new Error(`no hostile values for ${String(good)}`);
}

type Step = string | number;

function placesOf(body: unknown, path: Step[] = []): { path: Step[]; good: unknown }[] {
  const here = { path, good: body };
  if (isQuantity(body)) return [here];
  if (Array.isArray(body)) {
    // One entry of each kind is enough, unless a field tells them apart.
    const kinds = new Set<unknown>();
    const entries = body.flatMap((entry, index) => {
      const kind = isPlain(entry) ? (entry.kind ?? 'object') : typeof entry;
      if (kinds.has(kind)) return [];
      kinds.add(kind);
      return placesOf(entry, [...path, index]);
    });
    return [here, ...entries];
  }
  if (isPlain(body))
    return [here, ...Object.entries(body).flatMap(([key, value]) => placesOf(value, [...path, key]))];
  return [here];
}

const LEFT_OUT = Symbol('left out');

function changed(body: unknown, [step, ...rest]: Step[], value: unknown): unknown {
  if (step === undefined) return value;
  if (Array.isArray(body))
    return body.map((entry, index) => (index === step ? changed(entry, rest, value) : entry));
  const copy: Plain = { ...(body as Plain) };
  const inner = changed(copy[step], rest, value);
  if (inner === LEFT_OUT) delete copy[step];
  else copy[step] = inner;
  return copy;
}

function mutation(path: Step[], what: string, value: unknown): Mutation {
  const pointer = path.map((step) => `/${step}`).join('');
  return { pointer, what, textOf: (body) => textOf(changed(body, path, value)) };
}

/**
 * Sets every field of a valid body to each value that its kind of field rejects, and leaves it out:
 * one change at a time.
 */
export function mutationsOf(body: object): Mutation[] {
  return placesOf(body).flatMap(({ path, good }) => {
    const last = path.at(-1);
    return [
      ...valuesFor(good).map(([what, value]) => mutation(path, what, value)),
      ...(typeof last === 'string' ? [mutation(path, 'left out', LEFT_OUT)] : []),
    ];
  });
}

/** Sets each id in a body to that of another fleet's record. */
export function foreignIds(body: object, foreign: Record<string, string>): Mutation[] {
  return placesOf(body).flatMap(({ path, good }) => {
    const name = path.findLast((step) => typeof step === 'string') ?? '';
    const id = foreign[name];
    return id !== undefined && typeof good === 'string' ? [mutation(path, 'an id of another fleet', id)] : [];
  });
}

/**
 * Whether a fault's pointer is at this place, inside it, or at a part of the body that contains it
 * (but not at the whole body).
 */
export function isAbout(faultPointer: string | undefined, pointer: string): boolean {
  if (faultPointer === undefined) return false;
  if (pointer === '' || faultPointer === pointer) return true;
  if (faultPointer === '') return false;
  return faultPointer.startsWith(`${pointer}/`) || pointer.startsWith(`${faultPointer}/`);
}
