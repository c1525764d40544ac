import { MEASURES, type UnitSystem } from '../../../../../src/domain/quantities/measures.js';
import type { Quantity, Unit } from '../../../../../src/domain/quantities/units.js';
import type { Draft, LeafPart, ListPart, Part, Plain, Shape } from './shape.js';

const UNIT_OF = ' unit';
/** The name under which the unit of an amount is typed. */
export const unitName = (name: string): string => `${name}${UNIT_OF}`;

let keys = 0;

/** As many digits as somebody reads; what is not touched is sent back with all of them. */
function numberText(value: number): string {
  return String(Math.abs(value) >= 1000 ? Number(value.toFixed(1)) : Number(value.toPrecision(4)));
}

/** What a field shows of a value. */
function textOf(part: LeafPart, value: unknown): string {
  if (value === null || value === undefined) return '';
  if (Array.isArray(value)) return value.join(part.is === 'lines' ? '\n' : ',');
  if (typeof value === 'object') return numberText((value as Quantity).value);
  if (typeof value === 'string') return value;
  return typeof value === 'number' ? numberText(value) : String(value === true);
}

/**
 * What a form shows of a record.
 *
 * @param given null: of a new one
 * @param marks where it is ready-made, as pointers below `at`
 */
export function draftOf(shape: Shape, given: Plain | null, marks: readonly string[] = [], at = ''): Draft {
  const typed: Record<string, string> = {};
  const groups: Record<string, Draft> = {};
  const lists: Record<string, readonly Draft[]> = {};
  for (const part of shape) {
    const { name } = part;
    const [value, place] = [given?.[name] ?? null, `${at}/${name}`];
    if (part.is === 'group') groups[name] = draftOf(part.shape, value as Plain | null, marks, place);
    else if (part.is === 'list')
      lists[name] = ((value ?? []) as Plain[]).map((entry, index) =>
        draftOf(part.shape, entry, marks, `${place}/${index}`),
      );
    else typed[name] = textOf(part, given === null && part.is === 'choice' ? (part.preset ?? null) : value);
    if (part.is === 'amount') typed[unitName(name)] = (value as Quantity | null)?.unit ?? part.units[0] ?? '';
  }
  const marked = shape.map(({ name }) => name).filter((name) => marks.includes(`${at}/${name}`));
  return {
    ...{ key: keys++, given, typed, groups, lists },
    marks: at !== '' && marks.includes(at) ? ['', ...marked] : marked,
  };
}

/** As a number where it is one; else as typed, so that the service says what is wrong with it. */
function numberOf(typed: string): number {
  const value = Number(typed.replace(',', '.'));
  return Number.isNaN(value) ? (typed as unknown as number) : value;
}

/** The unit of a quantity; null for what has none. */
export function unitOf(part: Part, draft: Draft, units: UnitSystem): Unit | null {
  if (part.is !== 'quantity') return null;
  return MEASURES[typeof part.measure === 'function' ? part.measure(draft) : part.measure][units];
}

function leafValue(part: LeafPart, typed: string, draft: Draft, units: UnitSystem): unknown {
  if (part.is === 'flag') return typed === 'true';
  if (typed === '') return null;
  if (part.is === 'number') return numberOf(typed);
  if (part.is === 'quantity') return { value: numberOf(typed), unit: unitOf(part, draft, units) };
  if (part.is === 'amount') return { value: numberOf(typed), unit: draft.typed[unitName(part.name)] };
  if (part.is === 'yes-no') return typed === 'true';
  if (part.is === 'choices') return typed.split(',');
  if (part.is === 'lines')
    return typed
      .split('\n')
      .map((line) => line.trim())
      .filter(Boolean);
  return typed;
}

/** Whether a field still shows what the service had. */
export function isUntouched(part: LeafPart, draft: Draft, units: UnitSystem): boolean {
  const given = draft.given?.[part.name] ?? null;
  if (draft.typed[part.name] !== textOf(part, given)) return false;
  const unit = (given as Quantity | null)?.unit;
  if (part.is === 'quantity') return unit === undefined || unit === unitOf(part, draft, units);
  return part.is !== 'amount' || unit === undefined || unit === draft.typed[unitName(part.name)];
}

function partValue(part: Part, draft: Draft, units: UnitSystem): unknown {
  if (part.is === 'list')
    return (draft.lists[part.name] ?? []).map((entry) => valueOf(part.shape, entry, units));
  if (part.is === 'group') {
    const group = draft.groups[part.name];
    if (group === undefined || (!part.isRequired && isEmpty(part.shape, group))) return null;
    return valueOf(part.shape, group, units);
  }
  if (draft.given !== null && isUntouched(part, draft, units)) return draft.given[part.name] ?? null;
  return leafValue(part, (draft.typed[part.name] ?? '').trim(), draft, units);
}

/** Whether nothing is given in a part. */
export function isEmpty(shape: Shape, draft: Draft): boolean {
  return shape.every((part) => {
    if (part.is === 'list') return (draft.lists[part.name] ?? []).length === 0;
    const group = draft.groups[part.name];
    if (part.is === 'group') return group === undefined || isEmpty(part.shape, group);
    return (draft.typed[part.name] ?? '').trim() === '';
  });
}

/** A draft as the service takes it. */
export function valueOf(shape: Shape, draft: Draft, units: UnitSystem): Record<string, unknown> {
  return Object.fromEntries(shape.map((part) => [part.name, partValue(part, draft, units)]));
}

/** A new entry of a list. */
export const newEntry = ({ shape }: ListPart): Draft => draftOf(shape, null);
