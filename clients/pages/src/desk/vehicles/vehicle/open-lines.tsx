import { useSignal } from '@preact/signals';
import {
  type DueLine,
  dueDayInWords,
  isToDoAtOnce,
  stateInWords,
  workInWords,
} from '../../../kit/due/due-line.js';
import { StripLegend } from '../../../kit/due/legend.js';
import { axisAround, Hatching, Mark, Ruler, Strip, type TimeAxis } from '../../../kit/due/strip.js';
import { mayManage } from '../../../kit/service/me.js';
import { tell } from '../../../kit/texts/tell.js';
import { whyInWords } from '../../due/due-row.js';
import { named } from '../../due/many-lines.js';
import { PutOff } from '../../due/put-off.js';
import { TakeBack } from '../../due/take-back.js';
import { message } from '../words/messages.js';
import { leftInWords } from '../words/words.js';
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

type Way = 'put-off' | 'take-back';

/** What can be done with a line: put off, or if it is, taken back. */
function Act({ line, work, onAct }: { line: DueLine; work: string; onAct: (way: Way) => void }) {
  if (line.dueOn === null || !mayManage()) return null;
  const way = line.postponedUntil === null ? 'put-off' : 'take-back';
  return (
    <button
      type="button"
      class="plain"
      aria-label={tell(message(`desk-vehicle-${way}-work`, { work }))}
      onClick={() => onAct(way)}
    >
      {tell(message(`desk-vehicle-${way}`))}
    </button>
  );
}

function Line({ line, axis, onAct }: { line: DueLine; axis: TimeAxis; onAct: (way: Way) => void }) {
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
      <td class="why">{[whyInWords(line), ...leftInWords(line)].join(' ')}</td>
      <td class="act">
        <Act {...{ line, work, onAct }} />
      </td>
    </tr>
  );
}

/** The due lines of a vehicle, the worst first, each to be put off. */
export function OpenLines({
  due: { asOf, items },
  onChange,
}: Pick<LoadedVehicle, 'due'> & { onChange: () => void }) {
  const asked = useSignal<{ way: Way; line: DueLine } | null>(null);
  const axis = axisAround(asOf);
  const close = (done: readonly string[]): void => {
    asked.value = null;
    if (done.length > 0) onChange();
  };
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
                <Line key={line.id} {...{ line, axis }} onAct={(way) => (asked.value = { way, line })} />
              ))}
            </tbody>
          </table>
          <StripLegend />
        </>
      )}
      {asked.value?.way === 'put-off' && <PutOff lines={[named(asked.value.line)]} onClose={close} />}
      {asked.value?.way === 'take-back' && <TakeBack lines={[named(asked.value.line)]} onClose={close} />}
    </Section>
  );
}
