import type { CoolantAdditive } from '../../coolant-condition/additive-dose.js';
import type { CoolantInUse, MeasuredCondition } from '../../coolant-condition/inhibitor-limits.js';
import { judgeInhibitors } from '../../coolant-condition/judge-inhibitors.js';
import type { CommonPractice } from '../../evaluation/common-practice.js';
import type { Message } from '../../message.js';
import type { WorkLine } from '../../intervals/types.js';
import { measure, type Measure } from '../../quantities/measures.js';
import type { Quantity } from '../../quantities/units.js';
import { message } from '../messages.js';

/** The additive part of a job card. */
export interface AdditiveForJob {
  product: string | null;
  /** In the unit on the bottle, whatever the reader's units. */
  dose: Quantity;
  volume: Measure;
  /** The dose to measure out, such as 2 pt. */
  inWords: string;
  /** The dose and what it is of. */
  message: Message;
}

/** Whether additive goes in, and how much, if that is known. */
export interface DosedForJob {
  isLacking: boolean;
  additive: AdditiveForJob | null;
  missing: Message[];
  basis: Message[];
}

/** What a dose is worked out from; null is not known. */
export interface AdditiveSheet {
  additive: CoolantAdditive | null;
  capacityL: number;
  coolant: CoolantInUse;
}

/**
 * The additive to bring for what the latest reading of the coolant lacked, if the coolant stays in.
 * New coolant is not dosed for what the old one lacked.
 *
 * Source: `judgeInhibitors`, `additiveDose`.
 *
 * @param lines what is to be done
 * @param measured the latest reading since the coolant was replaced; null where there is none to be
 * believed
 * @returns null where nothing is missing, and what kept the dose from being told
 */
export function additiveForJob(
  lines: readonly WorkLine[],
  { additive, capacityL, coolant }: AdditiveSheet,
  measured: MeasuredCondition | null,
  practice: CommonPractice,
): DosedForJob {
  const nothing = { isLacking: false, additive: null, missing: [], basis: [] };
  const ofCoolant = lines.filter(({ component }) => component === 'coolant');
  const isRenewed = ofCoolant.some(({ action }) => action === 'replace' || action === 'flush');
  const isAsked = ofCoolant.length > 0 || lines.some(({ component }) => component === 'coolant-filter');
  if (!isAsked || isRenewed || measured === null) return nothing;
  const { dose, found } = judgeInhibitors(measured, coolant, { practice, additive, capacityL });
  const isLow = found.some((code) => DOSED.includes(code));
  if (!isLow) return nothing;
  if (dose === null)
    return {
      ...nothing,
      isLacking: true,
      missing: [message('card-no-additive-bottle')],
    };
  const { product, inWords } = dose;
  return {
    isLacking: true,
    additive: {
      product,
      dose: dose.amount,
      volume: measure('volume', dose.amountL),
      inWords,
      message:
        product === null
          ? message('card-additive-unnamed', { amount: inWords })
          : message('card-additive', { amount: inWords, product }),
    },
    missing: [],
    basis: [message('basis-card-dose', { from: dose.from, to: dose.to })],
  };
}

const DOSED: readonly string[] = ['sca-low', 'nitrite-low', 'molybdate-low'];
