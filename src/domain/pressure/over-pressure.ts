import { ImpossibleValue } from '../impossible-value.js';
import type { Message } from '../message.js';
import { told } from '../quantities/told.js';
import { convert, unitsOf, type Unit } from '../quantities/units.js';
import { asTyped, plain, unitInWords } from '../quantities/wording.js';
import { message } from './messages.js';

/**
 * Tells a test pressure above what the system may see.
 *
 * @param test gauge pressures in kPa, with the unit typed
 * @param greatestKpa the lower of the cap's rating and the spec sheet's limit, kPa; null when
 * unknown
 * @param handling `refuse` where it can still be prevented, `record` where it happened
 * @param allowanceKpa kPa, half a division of the gauge for a reading; 0 for what a procedure asks
 * for
 * @returns the reasons to fail; empty where it was not above
 * @throws ImpossibleValue when it is to be refused, naming the limit and the unit probably meant.
 * @example overPressure({ startKpa: 124, endKpa: 120, unit: 'psi' }, 110.3, 'record')[0].code // 'hold-test-over-pressured'
 */
export function overPressure(
  test: { startKpa: number; endKpa: number; unit: Unit },
  greatestKpa: number | null,
  handling: 'refuse' | 'record',
  allowanceKpa = 0,
): Message[] {
  const highestKpa = Math.max(test.startKpa, test.endKpa);
  if (greatestKpa === null || highestKpa <= greatestKpa * (1 + 1e-9) + allowanceKpa) return [];
  const typed = convert(highestKpa, 'kPa', test.unit);
  const meant = unitsOf('pressure').find((candidate) => {
    const kpa = convert(typed, candidate, 'kPa');
    return candidate !== test.unit && kpa <= greatestKpa * 1.001 && kpa >= 0.7 * greatestKpa;
  });
  const meantTold = meant ? `${plain(typed)} ${unitInWords(meant)}` : '';
  const highest = told('pressure', highestKpa, test.unit);
  const limit = told('pressure', greatestKpa, test.unit, 'down');
  if (handling === 'refuse') {
    const value = asTyped(highestKpa, 'kPa', test.unit);
    throw new ImpossibleValue({
      field: test.endKpa > test.startKpa ? 'end' : 'start',
      value,
      limit: { max: asTyped(greatestKpa, 'kPa', test.unit) },
      meant: meant ? { value: value.value, unit: meant } : null,
      detail: message('test-pressure-above-limit', {
        highest,
        limit,
        asks: meant ? 'other-unit' : 'nothing',
        meant: meantTold,
      }),
    });
  }
  const over = message('hold-test-over-pressured', { highest, limit });
  if (meant === undefined) return [over];
  return [over, message('hold-test-was-it-other-unit', { meant: meantTold })];
}
