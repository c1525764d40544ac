import { v7 as uuidv7 } from 'uuid';
import {
  AMOUNTS_ADDED,
  type DriverLabels,
  type Trouble,
  troublesTaken,
} from '../../domain/defects/label-report.js';
import type { Message } from '../../domain/message.js';
import type { LabelReport } from '../../facts/defects/label-reports.service.js';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { UUID_PATTERN } from '../../platform/fields/uuid.js';
import type { FormFields } from '../../platform/input/form-body.js';
import { message } from './messages.js';

export const MOST_WORDS = 300;
export const MOST_NAME = 120;

/** What a fleet takes by its labels, and in which units its drivers think. */
export interface Taking {
  takes: DriverLabels;
  units: UnitSystem;
}

/** The unit in which a driver says how much was added. */
export const unitAdded = (units: UnitSystem): 'qt' | 'L' => (units === 'us' ? 'qt' : 'L');

/** A form as it is shown: empty, or as somebody filled it in. */
export interface FilledForm extends LabelReport {
  /** What is wrong with how it is filled in; null: nothing. */
  fault: Message | null;
}

export function emptyForm(): FilledForm {
  return { id: uuidv7(), troubles: [], added: null, words: null, name: null, fault: null };
}

/** Reads a form. Whatever is wrong with it is said with the form, with all that was typed. */
export function filledForm(fields: FormFields, { takes, units }: Taking): FilledForm {
  const given = fields.get('trouble') ?? [];
  const troubles = troublesTaken(takes).filter((trouble) => given.includes(trouble));
  const amount = AMOUNTS_ADDED.find((each) => String(each) === fields.get('added')?.[0]);
  const isAdded = troubles.includes('coolant-added') && amount !== undefined;
  const added = isAdded ? { value: amount, unit: unitAdded(units) } : null;
  const words = textIn(fields, 'words');
  const name = textIn(fields, 'name');
  const id = fields.get('id')?.[0]?.toLowerCase() ?? '';
  const report = { id: UUID_PATTERN.test(id) ? id : uuidv7(), troubles, added, words, name };
  return { ...report, fault: faultOf(report) };
}

function textIn(fields: FormFields, name: string): string | null {
  // PostgreSQL keeps no null character.
  const text = (fields.get(name)?.[0] ?? '').replaceAll('\0', '').trim();
  return text === '' ? null : text;
}

function faultOf({ troubles, words, name }: LabelReport): Message | null {
  if (troubles.length === 0) return message('driver-page-choose');
  if ((words?.length ?? 0) > MOST_WORDS) return message('driver-page-too-long', { most: MOST_WORDS });
  if ((name?.length ?? 0) > MOST_NAME) return message('driver-page-too-long', { most: MOST_NAME });
  const isVague = troubles.every((trouble: Trouble) => trouble === 'something-else');
  return isVague && words === null ? message('driver-page-say-more') : null;
}
