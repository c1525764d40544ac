import { ImpossibleValue } from '../impossible-value.js';
import type { FaultCode } from './fault-sighting.js';
import { message } from './messages.js';

/** SAE J1939-73, diagnostic trouble code: 19 bits of SPN, 5 of FMI, 7 of occurrence count. */
export const GREATEST_SPN = 2 ** 19 - 1;
export const GREATEST_FMI = 2 ** 5 - 1;
/** The occurrence count 127 means "not available". */
export const MOST_OCCURRENCES = 126;

/** SAE J2012 / ISO 15031-6: the system's letter, then four hexadecimal digits, the first 0 to 3. */
const OBD = /^[PCBU][0-3][0-9A-F]{3}$/;
const SPN_FIRST = /^SPN\s*[:=]?\s*(\d{1,9})[\s,;/.-]*FMI\s*[:=]?\s*(\d{1,9})$/;
const FMI_FIRST = /^FMI\s*[:=]?\s*(\d{1,9})[\s,;/.-]*SPN\s*[:=]?\s*(\d{1,9})$/;
const BARE_PAIR = /^(\d{1,9})\s*[-/]\s*(\d{1,9})$/;
const SPN_ALONE = /^(SPN\s*[:=]?\s*)?\d{1,9}$/;

/**
 * Reads a fault code as people type it: 'SPN 110 FMI 0', 'FMI 0 SPN 110', '110/0', '110-0' or
 * 'P0217', in any case.
 *
 * Source: SAE J1939-73 (SPN up to 524287, FMI up to 31), SAE J2012 / ISO 15031-6 for the letters.
 *
 * @throws ImpossibleValue for the field `code`
 * @example faultCodeIn('spn 110 fmi 0') // { system: 'j1939', spn: 110, fmi: 0 }
 * @example faultCodeIn(' p0217') // { system: 'obd', code: 'P0217' }
 */
export function faultCodeIn(text: string): FaultCode {
  const typed = text.trim().toUpperCase();
  if (OBD.test(typed)) return { system: 'obd', code: typed };
  const pair = pairIn(typed);
  if (pair === null) {
    const detail = message(SPN_ALONE.test(typed) ? 'fault-code-without-fmi' : 'fault-code-unreadable');
    throw new ImpossibleValue({ field: 'code', value: text, detail });
  }
  const [spn, fmi] = pair;
  refuseAbove('SPN', spn, GREATEST_SPN, text);
  refuseAbove('FMI', fmi, GREATEST_FMI, text);
  return { system: 'j1939', spn, fmi };
}

/** @returns SPN and FMI; null where the text is no pair of them */
function pairIn(typed: string): [number, number] | null {
  const [, spn, fmi] = SPN_FIRST.exec(typed) ?? BARE_PAIR.exec(typed) ?? [];
  if (spn !== undefined && fmi !== undefined) return [Number(spn), Number(fmi)];
  const [, first, second] = FMI_FIRST.exec(typed) ?? [];
  return first === undefined || second === undefined ? null : [Number(second), Number(first)];
}

function refuseAbove(name: 'SPN' | 'FMI', value: number, most: number, text: string): void {
  if (value <= most) return;
  const detail = message('fault-code-too-great', { part: name, value, most });
  throw new ImpossibleValue({ field: 'code', value: text, limit: { max: most }, detail });
}

/**
 * A fault code as it is stored and shown.
 *
 * @example faultCodeText({ system: 'j1939', spn: 110, fmi: 0 }) // 'SPN 110 FMI 0'
 */
export function faultCodeText(code: FaultCode): string {
  return code.system === 'obd' ? code.code : ['SPN', code.spn, 'FMI', code.fmi].join(' ');
}
