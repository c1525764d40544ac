import { useSignal } from '@preact/signals';
import {
  type DueLine,
  dueDayInWords,
  isToDoAtOnce,
  stateInWords,
  workInWords,
} from '../../../kit/due/due-line.js';
import { axisAround, Hatching, Mark, Ruler, Strip, type TimeAxis } from '../../../kit/due/strip.js';
import { tell } from '../../../kit/texts/tell.js';
import { whyInWords } from '../../due/due-row.js';
import { named } from '../../due/many-lines.js';
import { PutOff } from '../../due/put-off.js';
import { message } from '../words/messages.js';
import type { LoadedVehicle } from './load-vehicle.js';
import { Section } from './section.js';

const COLUMNS = ['work', 'state', 'due-on', 'weeks', 'why'] as const;

function Head({ axis }: { axis: TimeAxis }) {
  return (
    <thead>
      <tr>
        {COLUMNS.map((column) => (
          <th key={column} scope="col" class={column}>
            {column === 'weeks' && <Ruler axis={axis} />}
            <span class={column === 'weeks' ? 'unseen' : undefined}>
              {tell(message(`desk-vehicle-column-${column}`))}
            </span>
          </th>
        ))}
        <td class="act" />
      </tr>
    </thead>
  );
}

function Line({ line, axis, onPutOff }: { line: DueLine; axis: TimeAxis; onPutOff: () => void }) {
  const work = workInWords(line);
  return (
    <tr class={isToDoAtOnce(line) ? 'at-once' : line.state}>
      <th scope="row" class="work">
        {work}
      </th>
      <td class="state">
        <Mark state={line.state} /> <span>{stateInWords(line)}</span>
      </td>
      <td class="day">{dueDayInWords(line)}</td>
      <td class="weeks">
        <Strip line={line} axis={axis} />
      </td>
      <td class="why">{whyInWords(line)}</td>
      <td class="act">
        {line.dueOn !== null && line.postponedUntil === null && (
          <button
            type="button"
            class="plain"
            aria-label={tell(message('desk-vehicle-put-off-work', { work }))}
            onClick={onPutOff}
          >
            {tell(message('desk-vehicle-put-off'))}
          </button>
        )}
      </td>
    </tr>
  );
}

/** The due lines of a vehicle, the worst first, each to be put off. */
export function OpenLines({
  due: { asOf, items },
  onChange,
}: Pick<LoadedVehicle, 'due'> & { onChange: () => void }) {
  const puttingOff = useSignal<DueLine | null>(null);
  const axis = axisAround(asOf);
  return (
    <Section title={tell(message('desk-vehicle-due-lines'))}>
      {items.length === 0 ? (
        <p>{tell(message('desk-vehicle-no-due-lines'))}</p>
      ) : (
        <>
          <Hatching />
          <table class="due of-vehicle">
            <caption class="unseen">{tell(message('desk-vehicle-due-lines'))}</caption>
            <Head axis={axis} />
            <tbody>
              {items.map((line) => (
                <Line key={line.id} {...{ line, axis }} onPutOff={() => (puttingOff.value = line)} />
              ))}
            </tbody>
          </table>
        </>
      )}
      {puttingOff.value !== null && (
        <PutOff
          lines={[named(puttingOff.value)]}
          onClose={(put) => {
            puttingOff.value = null;
            if (put.length > 0) onChange();
          }}
        />
      )}
    </Section>
  );
}
