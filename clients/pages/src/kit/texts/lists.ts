import { locale } from './tell.js';

/** `Northgate, Quarry and Harbour` */
export const listInWords = (parts: readonly string[]): string =>
  new Intl.ListFormat(locale(), { type: 'conjunction' }).format(parts);
