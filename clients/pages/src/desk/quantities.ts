import { quantityAsRead } from '../../../../src/domain/quantities/as-read.js';
import type { Quantity } from '../../../../src/domain/quantities/units.js';
import { locale } from '../kit/texts/tell.js';

/** Some quantities as they are read off, without those that are not known. */
export function quantitiesInWords(
  quantities: readonly ({ value?: number; unit?: string } | null | undefined)[],
) {
  const written = (number: number): string => new Intl.NumberFormat(locale()).format(number);
  return quantities
    .filter((quantity) => quantity != null)
    .map((quantity) => quantityAsRead(quantity as Quantity, 'nearest', (amount) => `< ${amount}`, written))
    .join(', ');
}
