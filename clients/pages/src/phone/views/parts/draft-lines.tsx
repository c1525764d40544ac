import { workInWords } from '../../../kit/due/due-line.js';
import { tell } from '../../../kit/texts/tell.js';
import type { Draft, DraftLine } from '../../draft/draft.js';
import { message } from '../../words/messages.js';
import { Tick, Words } from './controls.js';

type Change = (changed: Partial<Draft>) => void;

/** The work of a line, as it is told. */
export const lineInWords = ({ line }: DraftLine): string => workInWords({ ...line, item: line.item ?? null });

function Details({ line, change }: { line: DraftLine; change: (line: DraftLine) => void }) {
  return (
    <details>
      <summary>{tell(message('phone-line-details'))}</summary>
      <Tick isTicked={line.hadFailed} onTick={(hadFailed) => change({ ...line, hadFailed })}>
        {tell(message('phone-had-failed'))}
      </Tick>
      <Words
        label={tell(message('phone-finding'))}
        text={line.finding}
        onText={(finding) => change({ ...line, finding })}
      />
      {line.line.action === 'replace' && (
        <>
          <Words
            label={tell(message('phone-part-number'))}
            text={line.partNumber}
            onText={(partNumber) => change({ ...line, partNumber })}
          />
          <Words
            label={tell(message('phone-lot'))}
            text={line.lot}
            onText={(lot) => change({ ...line, lot })}
          />
        </>
      )}
    </details>
  );
}

/** The work of the card, to tick what is done. */
export function DraftLines({ draft, change }: { draft: Draft; change: Change }) {
  const set = (index: number, line: DraftLine): void =>
    change({ lines: draft.lines.map((one, other) => (other === index ? line : one)) });
  return (
    <section>
      <h2>{tell(message('phone-lines-done'))}</h2>
      {draft.lines.length === 0 && <p>{tell(message('phone-no-lines'))}</p>}
      {draft.lines.map((line, index) => (
        <div key={lineInWords(line)}>
          <Tick isTicked={line.isDone} onTick={(isDone) => set(index, { ...line, isDone })}>
            {lineInWords(line)}
          </Tick>
          {line.isDone && <Details line={line} change={(changed) => set(index, changed)} />}
        </div>
      ))}
    </section>
  );
}
