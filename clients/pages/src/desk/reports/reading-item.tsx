import { Mark } from '../../kit/due/strip.js';
import { tell } from '../../kit/texts/tell.js';
import { type Report, shapeOf, verdictInWords } from './words.js';

type Reading = Report['readings'][number];

/** One reading: its verdict, and why. Judged again later, the last verdict is shown, too. */
export function ReadingItem({ reading }: { reading: Reading }) {
  const { id, kind, circuit, evaluation, reEvaluations } = reading;
  const verdicts = [evaluation, ...reEvaluations.map((again) => again.evaluation)];
  const about = circuit === undefined ? '' : ` (${tell({ code: `circuit-${circuit}`, values: {} })})`;
  return (
    <li class="reading" data-reading={id}>
      <h3>
        {tell({ code: `reading-${kind}`, values: {} })}
        {about}
      </h3>
      {verdicts.map(({ verdict, reasons, cautions }, at) => (
        <div key={at}>
          <p>
            <Mark state={shapeOf(verdict)} /> <strong>{verdictInWords(verdict)}</strong>{' '}
            {reasons.map(({ text }) => text).join(' ')}
          </p>
          {cautions.length > 0 && <p class="faint">{cautions.map(({ text }) => text).join(' ')}</p>}
        </div>
      ))}
    </li>
  );
}
