import type { Message } from '../message.js';
import { message } from './messages.js';

/**
 * Values of the characters of a vehicle identification number; I, O and Q do not occur. Source: 49
 * CFR 565.15(c), Table III.
 */
const VALUES: Record<string, number> = Object.fromEntries([
  ...'0123456789'.split('').map((digit) => [digit, Number(digit)] as const),
  ...Object.entries({
    A: 1,
    B: 2,
    C: 3,
    D: 4,
    E: 5,
    F: 6,
    G: 7,
    H: 8,
    J: 1,
    K: 2,
    L: 3,
    M: 4,
    N: 5,
    P: 7,
    R: 9,
    S: 2,
    T: 3,
    U: 4,
    V: 5,
    W: 6,
    X: 7,
    Y: 8,
    Z: 9,
  }),
]);

/**
 * Weights of the 17 positions; the check digit itself, at position 9, weighs nothing. Source: 49
 * CFR 565.15(c), Table IV.
 */
const WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

/** From model year 1981 on VINs have 17 characters with a check digit (from memory, 49 CFR 565). */
const FIRST_MODEL_YEAR = 1981;

const CHARACTERS = /^[0-9A-HJ-NPR-Z]$/;

/** What is wrong with a VIN. */
export interface VinFault {
  /** Where the rule does not bind this vehicle, it is a notice: the VIN may be right. */
  isNotice: boolean;
  detail: Message;
}

/**
 * Whether 49 CFR 565 requires a check digit of the holder of a world manufacturer identifier. It
 * applies to vehicles made for sale in the United States, and the VIN only says where the
 * manufacturer is.
 *
 * Source: 49 CFR 565; identifiers by ISO 3780, from memory: 1, 4, 5 and 7F to 70 are the United
 * States, 2 Canada and 3 Mexico, whose own rules ask for the same digit (from memory, CMVSS 115 and
 * NOM-001-SSP).
 *
 * @example asksForCheckDigit('1G4AH59H45G118341') // true
 */
function asksForCheckDigit(vin: string): boolean {
  return /^([1-5]|7[F-Z0])/.test(vin);
}

/**
 * What is wrong with a vehicle identification number; null if it is valid.
 *
 * The check digit is the weighted sum modulo 11, with 10 written as X (49 CFR 565.15(c), Table
 * V). Every vehicle made for sale in the United States has it; others need not.
 *
 * @param vin 17 characters, capital letters and digits
 * @param modelYear null when not known; before 1981 there was no common form
 * @example vinFault('11111111111111111') // null
 */
export function vinFault(vin: string, modelYear: number | null = null): VinFault | null {
  const isBeforeRule = modelYear !== null && modelYear < FIRST_MODEL_YEAR;
  const form = formFault(vin, isBeforeRule ? 'usual' : 'serial');
  if (form !== null) return { isNotice: isBeforeRule, detail: form };
  const expected = checkDigitOf(vin);
  const given = vin.charAt(8);
  if (given === expected) return null;
  const isNotice = isBeforeRule || !asksForCheckDigit(vin);
  const hint = isNotice ? 'possible' : 'mistyped';
  return { isNotice, detail: message('vin-check-digit', { given, expected, hint }) };
}

function formFault(vin: string, hint: 'usual' | 'serial'): Message | null {
  const { length } = vin;
  if (length !== WEIGHTS.length) return message('vin-length', { length, hint });
  const index = [...vin].findIndex((character) => !CHARACTERS.test(character));
  if (index === -1) return null;
  return message('vin-character', { character: vin.charAt(index), position: index + 1, hint });
}

function checkDigitOf(vin: string): string {
  const sum = WEIGHTS.reduce((total, weight, index) => total + weight * (VALUES[vin.charAt(index)] ?? 0), 0);
  return sum % 11 === 10 ? 'X' : String(sum % 11);
}
