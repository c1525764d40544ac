import { messages } from '../../domain/message.js';

/** The kinds of records that an id or a name can refer to. */
export const RECORDS = [
  'attachment',
  'defect',
  'depot',
  'dueLine',
  'fault',
  'import',
  'intervalPlan',
  'jobReport',
  'label',
  'lossAlert',
  'person',
  'reminder',
  'reminderTarget',
  'session',
  'specSheet',
  'spreadsheet',
  'telematicsMachine',
  'telematicsSource',
  'temperatureDay',
  'token',
  'usageReading',
  'vehicle',
  'visit',
  'visitInThisPlan',
  'visitPlan',
] as const;
export type RecordKind = (typeof RECORDS)[number];

type Spaced<T extends string> = T extends `${infer Head}${infer Tail}`
  ? `${Head extends Lowercase<Head> ? Head : ` ${Lowercase<Head>}`}${Spaced<Tail>}`
  : T;
/** The same kinds as people write them: "due line". */
export type RecordName = Spaced<RecordKind>;

/** @example kindOf('due line') // 'dueLine' */
export function kindOf(name: RecordName): RecordKind {
  return name.replaceAll(/ (\w)/g, (_, letter: string) => letter.toUpperCase()) as RecordKind;
}

/** Entries that must not occur twice in a list. */
export const REPEATED = ['fastener', 'belt', 'hose', 'hours'] as const;

const TITLES = {
  'title-cannot-be-read': {},
  'title-no-valid-token': {},
  'title-not-allowed': {},
  'title-not-found': {},
  'title-wrong-method': {},
  'title-not-in-that-form': {},
  'title-too-slow': {},
  'title-conflict': {},
  'title-gone': {},
  'title-changed': {},
  'title-body-too-large': {},
  'title-address-too-long': {},
  'title-form-not-taken': {},
  'title-outside-file': {},
  'title-not-acceptable': {},
  'title-too-many': {},
  'title-headers-too-large': {},
  'title-caller-gone': {},
  'title-internal': {},
  'title-part-away': {},
  'title-too-busy': {},
  'title-refused': {},
} as const;

export const message = messages({
  ...TITLES,
  'no-such-record': { what: RECORDS },
  'place-body': {},
  'place-field': { pointer: 'text' },
  'place-line': { line: 'number' },
  'place-column': { column: 'text' },
  'place-line-column': { line: 'number', column: 'text' },
  'fault-at-place': { place: 'message', fault: 'message' },
  'fault-in-query': { parameter: 'text', fault: 'message' },
  'many-faults': { count: 'number', named: 'number' },
  'repeated-entry': { what: REPEATED, name: 'text', position: 'number' },
  'unplaced-fault': { field: 'text', fault: 'message' },
  'name-taken': { what: RECORDS },
  'name-taken-here': { what: RECORDS },
  'unit-number-taken': {},
  'taken-by-other-vehicle': {},
  'vin-taken': {},
  'badge-taken': {},
  'taken-by-other-person': {},
  'defect-id-taken': {},
  'defect-id-taken-here': {},
  'report-id-taken': {},
  'report-id-taken-here': {},
  'referred-to': {},
  'referred-to-by-history': {},
  'value-cannot-be-stored': {},
});
