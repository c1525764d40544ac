import type { Problem } from '../../../../../typescript/src/client.js';
import { tell } from '../../../kit/texts/tell.js';
import { type Draft, sentReadings } from '../../draft/draft.js';
import { message } from '../../words/messages.js';
import { readingInWords } from '../../words/named.js';
import { lineInWords } from './draft-lines.js';

/** Where a fault is, as the mechanic knows the place. */
function placeInWords(pointer: string, draft: Draft): string {
  const [, list, index] = /^\/(readings|lines)\/(\d+)/.exec(pointer) ?? [];
  if (list === 'readings') {
    const reading = sentReadings(draft)[Number(index)];
    if (reading) return readingInWords(reading);
  }
  if (list === 'lines') {
    const line = draft.lines.filter(({ isDone }) => isDone)[Number(index)];
    if (line) return lineInWords(line);
  }
  if (pointer.startsWith('/odometer')) return tell(message('phone-odometer'));
  if (pointer === '/performedBy') return tell(message('phone-performed-by'));
  if (pointer === '/notes') return tell(message('phone-notes'));
  if (pointer.startsWith('/engineHours')) return tell(message('phone-engine-hours'));
  return pointer;
}

/** Why the service refused a report, each fault at its place. */
export function RefusedFields({ problem, draft }: { problem: Problem; draft: Draft }) {
  return (
    <div class="fault" role="alert">
      <p>
        <strong>{tell(message('phone-refused'))}</strong> {problem.detail}
      </p>
      <ul class="dots">
        {(problem.errors ?? []).map(({ pointer, detail }) => (
          <li key={`${pointer} ${detail}`}>
            <strong>{placeInWords(pointer ?? '', draft)}</strong>: {detail}
          </li>
        ))}
      </ul>
    </div>
  );
}
