import { Problem } from '../../../platform/problems/problem.js';
import { message } from '../messages.js';
import { CARD_FORMATS, type CardFormat } from '../card/job-card.dto.js';

const MEDIA: Record<CardFormat, string> = { json: 'application/json', html: 'text/html' };
interface Range {
  type: string;
  subtype: string;
  quality: number;
}

function rangesOf(accept: string): Range[] {
  return accept.split(',').flatMap((part) => {
    const [media = '', ...parameters] = part.split(';').map((piece) => piece.trim().toLowerCase());
    const [type = '', subtype = ''] = media.split('/');
    if (type === '' || subtype === '') return [];
    const given = parameters.find((parameter) => /^q\s*=/.test(parameter))?.replace(/^q\s*=\s*/, '');
    const quality = given === undefined ? 1 : Number(given);
    return [{ type, subtype, quality: quality >= 0 && quality <= 1 ? quality : 0 }];
  });
}

/**
 * The client's preference for a media type, taken from the most specific range that includes it
 * (RFC 9110, section 12.5.1). 0: not acceptable.
 */
function qualityOf(media: string, ranges: readonly Range[]): number {
  const [type, subtype] = media.split('/');
  const exact = ranges.find((range) => range.type === type && range.subtype === subtype);
  const ofType = ranges.find((range) => range.type === type && range.subtype === '*');
  const any = ranges.find((range) => range.type === '*' && range.subtype === '*');
  return (exact ?? ofType ?? any)?.quality ?? 0;
}

/**
 * The format of the card: what the query says, or else what the Accept header prefers. JSON when
 * both formats are equally welcome.
 *
 * @throws Problem 406 when neither is acceptable
 */
export function formatWanted(asked: CardFormat | undefined, accept: string | undefined): CardFormat {
  if (asked !== undefined) return asked;
  if (accept === undefined || accept.trim() === '') return 'json';
  const ranges = rangesOf(accept);
  let wanted: CardFormat | null = null;
  let most = 0;
  for (const format of CARD_FORMATS) {
    const quality = qualityOf(MEDIA[format], ranges);
    if (quality > most) [wanted, most] = [format, quality];
  }
  if (wanted !== null) return wanted;
  throw new Problem(406, 'not-acceptable', message('card-form'), [
    { header: 'Accept', detail: message('card-form-not-accepted') },
  ]);
}
