import type { UnitSystem } from '../../../domain/quantities/measures.js';
import type { ReminderTarget } from '../../../entities/reminder.entity.js';
import type { Language } from '../../../platform/words/languages.js';

/** The reader that a message is written for. */
export interface Recipient {
  language: Language;
  units: UnitSystem;
  /** The fleet's. */
  timeZone: string;
}

interface OfFleet {
  units: UnitSystem;
  timeZone: string;
  language?: Language | null;
}

type OfTarget = Pick<ReminderTarget, 'kind'> & { language?: Language | null };

/** Uses the target's own language, else the fleet's, else English. */
export function recipientOf({ units, timeZone, language }: OfFleet, target: OfTarget): Recipient {
  return { language: target.language ?? language ?? 'en', units, timeZone };
}
