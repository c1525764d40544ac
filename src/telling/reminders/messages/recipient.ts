import type { UnitSystem } from '../../../domain/quantities/measures.js';
import type { ReminderTarget } from '../../../entities/reminder.entity.js';
import type { Language } from '../../../platform/words/languages.js';

/** For whom a message is written. */
export interface Recipient {
  language: Language;
  units: UnitSystem;
  /** Of the fleet. */
  timeZone: string;
}

interface OfFleet {
  units: UnitSystem;
  timeZone: string;
  language?: Language | null;
}

type OfTarget = Pick<ReminderTarget, 'kind'> & { language?: Language | null };

/** A target is written to in its own language, else in the fleet's, else in English. */
export function recipientOf({ units, timeZone, language }: OfFleet, target: OfTarget): Recipient {
  return { language: target.language ?? language ?? 'en', units, timeZone };
}
