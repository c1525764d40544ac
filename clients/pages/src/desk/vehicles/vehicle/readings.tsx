import { holdTestTerm, readingTerm } from '../../../../../../src/platform/words/terms.js';
import { Shown } from '../../../kit/parts/loading.js';
import { useLoaded } from '../../../kit/service/loaded.js';
import { momentInWords } from '../../../kit/texts/dates.js';
import { tell } from '../../../kit/texts/tell.js';
import type { Quantity, Reading } from '../types.js';
import { message } from '../words/messages.js';
import { inCircuit, numberInWords, quantityInWords } from '../words/words.js';
import { Section } from './section.js';

const LATEST = 20;

/** The fields of its kind stand beside those that every reading has. */
type Measured = Reading & {
  method?: 'vacuum' | 'pressure';
  start?: Quantity;
  end?: Quantity;
  minutes?: number;
  fastener?: string | null;
  item?: string | null;
};

/** What was measured, told apart from others of its kind. */
function nameOf({ kind, method, fastener, item, circuit }: Measured): string {
  const term =
    kind === 'hold-test' && method !== undefined ? holdTestTerm(method) : readingTerm(kind, fastener ?? item);
  return inCircuit(tell(term), circuit);
}

/** `22 inHg at the start, 21.7 inHg after 6 min`; nothing of other readings. */
function valuesOf({ start, end, minutes }: Measured): string {
  if (start?.value === undefined || end?.value === undefined || minutes === undefined) return '';
  const values = { start: quantityInWords(start), end: quantityInWords(end) };
  return tell(message('desk-vehicle-held-from', { ...values, minutes: numberInWords(minutes) }));
}

function verdictOf({ voided, evaluation: { verdict } }: Measured): string {
  if (voided) return tell(message('desk-vehicle-reading-voided'));
  return verdict === null
    ? tell(message('desk-vehicle-not-judged'))
    : tell(message(`desk-vehicle-verdict-${verdict}`));
}

function Item({ reading, timeZone }: { reading: Measured; timeZone: string }) {
  const values = valuesOf(reading);
  const isFailed = !reading.voided && reading.evaluation.verdict === 'fail';
  return (
    <li class={isFailed ? 'failed' : undefined} data-reading={reading.id}>
      <span class="when">{momentInWords(reading.takenAt, timeZone)}</span>
      <div>
        <p>
          {nameOf(reading)}: <strong>{verdictOf(reading)}</strong>
        </p>
        {values !== '' && <p>{values}</p>}
        <p class="faint">{reading.evaluation.reasons.map(({ text }) => text).join(' ')}</p>
      </div>
    </li>
  );
}

/**
 * The latest readings of a vehicle, each with its verdict and why.
 *
 * @param asOf changes when there may be others
 */
export function Readings({ id, timeZone, asOf }: { id: string; timeZone: string; asOf: unknown }) {
  const { state, reload } = useLoaded(
    async (client, signal) => {
      const asked = { path: { id }, query: { limit: LATEST }, signal };
      return (await client.get('/v1/vehicles/{id}/readings', asked)).data;
    },
    [id, asOf],
  );
  return (
    <Section title={tell(message('desk-vehicle-readings'))}>
      <Shown state={state} again={reload}>
        {({ items, next }) => (
          <>
            {items.length === 0 && <p>{tell(message('desk-vehicle-no-readings'))}</p>}
            <ol class="history">
              {items.map((reading) => (
                <Item key={reading.id} {...{ reading, timeZone }} />
              ))}
            </ol>
            {next !== null && <p class="faint">{tell(message('desk-vehicle-readings-earlier'))}</p>}
          </>
        )}
      </Shown>
    </Section>
  );
}
