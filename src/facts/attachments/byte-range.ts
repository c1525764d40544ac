import { Problem } from '../../platform/problems/problem.js';
import type { ByteRange } from '../../platform/storage/file-store.js';
import { message } from './messages.js';

/**
 * The part of a file that a `Range` header asks for (RFC 9110, 14.1.2). Null: the whole file. That
 * includes headers with several ranges or another unit, which a server may ignore.
 *
 * @throws Problem 416 when the range is outside the file
 */
export function rangeOf(header: string | undefined, sizeBytes: number): ByteRange | null {
  const match = /^bytes=(\d{0,15})-(\d{0,15})$/.exec(header?.trim() ?? '');
  if (!match || (match[1] === '' && match[2] === '')) return null;
  const [, first, last] = match as unknown as [string, string, string];
  const range =
    first === ''
      ? { start: Math.max(sizeBytes - Number(last), 0), end: sizeBytes - 1 }
      : { start: Number(first), end: last === '' ? sizeBytes - 1 : Math.min(Number(last), sizeBytes - 1) };
  if (last !== '' && first !== '' && Number(last) < Number(first)) return null;
  if (range.start > range.end) {
    const detail = message('attachment-range-outside', { bytes: sizeBytes });
    const headers = { 'content-range': `bytes */${sizeBytes}` };
    throw new Problem(416, 'range-outside', detail, [{ header: 'Range', detail }], headers);
  }
  return range;
}
