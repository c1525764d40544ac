import { faultCodeIn } from '../../../domain/faults/fault-code.js';
import { MOST_OCCURRENCES } from '../../../domain/faults/fault-code.js';
import type { FaultCode } from '../../../domain/faults/fault-sighting.js';
import { ImpossibleValue } from '../../../domain/impossible-value.js';
import type { MeasureKind } from '../../../domain/quantities/measures.js';
import type { Quantity } from '../../../domain/quantities/units.js';
import { forEachYielding } from '../../../platform/concurrency/yielding.js';
import { quantityFault } from '../../../platform/fields/fields.js';
import { unknownField } from '../../../platform/fields/wording.js';
import { isPlain, type Plain } from '../../../platform/input/merge-patch.js';
import { kindOf } from './json-tree.js';
import { MOST_PUSHED, shownText } from './limits.js';
import { type SourcePage, UnreadableDocument } from './machine-report.js';
import { message } from './messages.js';
import { type Found, PageBuilder, type ReportBuilder } from './report-builder.js';

const NAMES = ['vin', 'serialNumber', 'equipmentId', 'make', 'model'] as const;
const IDENTITY = NAMES.slice(0, 3);
const LISTS = ['readings', 'faults'] as const;
const COUNTERS = ['odometer', 'engineHours', 'coolantTemperature'] as const;
const MEASURE: Readonly<Record<(typeof COUNTERS)[number], MeasureKind>> = {
  odometer: 'distance',
  engineHours: 'engine-hours',
  coolantTemperature: 'temperature',
};

/**
 * Reads what a program pushes as JSON, in Weephole's own plain form. Every quantity has its unit.
 *
 * @param body as parsed
 * @throws UnreadableDocument where it has no list of machines, or too many
 * @example { "machines": [{ "vin": "0ZZ00000000000001", "readings": [{ "at":
 *   "2026-04-02T15:20:00Z", "odometer": { "value": 182004.5, "unit": "km" } }], "faults": [{ "at":
 *   "2026-04-02T15:20:00Z", "code": "SPN 110 FMI 0", "isActive": true }] }] }
 */
export async function readPushedJson(body: unknown): Promise<SourcePage> {
  const machines = isPlain(body) ? body['machines'] : undefined;
  if (!isPlain(body) || !Array.isArray(machines))
    throw new UnreadableDocument(
      message('telematics-other-document', { found: shownText(kindOf(body)), expected: 'machines' }),
    );
  if (machines.length > MOST_PUSHED || entriesOf(machines) > MOST_PUSHED)
    throw new UnreadableDocument(message('telematics-too-many-values', { most: MOST_PUSHED }));
  const page = new PageBuilder();
  refuseUnknown(body, ['machines'], '', (path) => page.refuse(path, unknownField()));
  await forEachYielding([...machines.entries()], ([index, machine]) =>
    takeMachine(machine, `/machines/${index}`, page),
  );
  return page.page(null);
}

/** How many readings and faults some machines have together. */
function entriesOf(machines: readonly unknown[]): number {
  let count = 0;
  for (const machine of machines)
    for (const list of isPlain(machine) ? LISTS.map((name) => machine[name]) : [])
      if (Array.isArray(list)) count += list.length;
  return count;
}

function takeMachine(machine: unknown, path: string, page: PageBuilder): void {
  if (!isPlain(machine)) return page.refuse(path, message('telematics-not-an-object'));
  const [vin = null, serialNumber = null, equipmentId = null, make = null, model = null] = NAMES.map((name) =>
    page.name(scalar(machine, name, path)),
  );
  const identity = { vin: vin?.toUpperCase() ?? null, serialNumber, equipmentId, make, model };
  const builder = page.machine(identity, path, IDENTITY);
  if (builder === null) return;
  refuseUnknown(machine, [...NAMES, ...LISTS], path, (place) => builder.refuse(place, unknownField()));
  eachOf(machine, 'readings', path, builder, takeReading);
  eachOf(machine, 'faults', path, builder, takeFault);
}

function eachOf(
  machine: Plain,
  list: (typeof LISTS)[number],
  path: string,
  builder: ReportBuilder,
  take: (entry: Plain, path: string, builder: ReportBuilder) => void,
): void {
  const entries = machine[list];
  if (entries === undefined || entries === null) return;
  if (!Array.isArray(entries)) {
    builder.refuse(`${path}/${list}`, message('telematics-not-a-list'));
    return;
  }
  for (const [index, entry] of entries.entries()) {
    const place = `${path}/${list}/${index}`;
    if (isPlain(entry)) take(entry, place, builder);
    else builder.refuse(place, message('telematics-not-an-object'));
  }
}

function takeReading(reading: Plain, path: string, builder: ReportBuilder): void {
  const at = scalar(reading, 'at', path);
  refuseUnknown(reading, ['at', ...COUNTERS], path, (place) => builder.refuse(place, unknownField()));
  let hasValue = false;
  for (const counter of COUNTERS) {
    const quantity = reading[counter];
    if (quantity === undefined || quantity === null) continue;
    hasValue = true;
    const place = `${path}/${counter}`;
    const fault = quantityFault(quantity, MEASURE[counter]);
    if (fault !== null) builder.refuse(place, fault);
    else takeQuantity(counter, at, quantity as Quantity, place, builder);
  }
  if (!hasValue) builder.refuse(path, message('telematics-value-missing'));
}

function takeQuantity(
  counter: (typeof COUNTERS)[number],
  at: Found,
  { value, unit }: Quantity,
  path: string,
  builder: ReportBuilder,
): void {
  const amount = { text: String(value), path };
  if (counter === 'odometer') builder.odometer(at, amount, unit);
  else if (counter === 'engineHours') builder.engineHours(at, amount);
  else builder.coolant(at, amount, unit);
}

function takeFault(fault: Plain, path: string, builder: ReportBuilder): void {
  refuseUnknown(fault, ['at', 'code', 'isActive', 'occurrences'], path, (place) =>
    builder.refuse(place, unknownField()),
  );
  const code = readCode(scalar(fault, 'code', path), builder);
  const isActive = readFlag(scalar(fault, 'isActive', path), builder);
  const occurrences = readCount(scalar(fault, 'occurrences', path), builder);
  if (code !== null && isActive !== null)
    builder.fault(scalar(fault, 'at', path), code, { isActive, occurrences });
}

/** A fault code in a form that people type, too: 'SPN 110 FMI 0', '110/0', 'P0217'. */
export function readCode({ text, path }: Found, builder: ReportBuilder): FaultCode | null {
  const given = text?.trim() ?? '';
  if (given === '') return builder.refuse(path, message('telematics-value-missing'));
  try {
    return faultCodeIn(shownText(given));
  } catch (error) {
    if (!(error instanceof ImpossibleValue)) throw error;
    return builder.refuse(path, error.detail);
  }
}

/** Active, where it is not said. */
export function readFlag({ text, path }: Found, builder: ReportBuilder): boolean | null {
  const given = text?.trim().toLowerCase() ?? '';
  if (given === '' || given === 'true') return true;
  if (given === 'false') return false;
  return builder.refuse(path, message('telematics-not-true-or-false', { given: shownText(given) }));
}

/** How often the machine counted a fault. SAE J1939-73 counts up to 126. */
export function readCount({ text, path }: Found, builder: ReportBuilder): number | null {
  const given = text?.trim() ?? '';
  if (given === '') return null;
  if (/^\d{1,3}$/.test(given) && Number(given) >= 1 && Number(given) <= MOST_OCCURRENCES)
    return Number(given);
  return builder.refuse(
    path,
    message('telematics-not-a-count', { given: shownText(given), most: MOST_OCCURRENCES }),
  );
}

function refuseUnknown(
  of: Plain,
  known: readonly string[],
  path: string,
  refuse: (path: string) => unknown,
): void {
  for (const key of Object.keys(of)) if (!known.includes(key)) refuse(`${path}/${shownText(key)}`);
}

function scalar(of: Plain, name: string, path: string): Found {
  const value = Object.hasOwn(of, name) ? of[name] : null;
  const isScalar = typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean';
  const isAbsent = value === undefined || value === null;
  return { text: isAbsent ? null : isScalar ? String(value) : kindOf(value), path: `${path}/${name}` };
}
