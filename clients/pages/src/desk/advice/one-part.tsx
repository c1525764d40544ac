import { Link, useSearchParams } from 'wouter-preact';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { tell } from '../../kit/texts/tell.js';
import { CostCurve } from './curve.js';
import { message } from './messages.js';
import { Plans } from './plans.js';
import { NAMES, Question, type Values } from './question.js';
import { type Advice, type Component, partInWords } from './words.js';

function Lives({ lives }: Pick<Advice, 'lives'>) {
  const { total, failed, replaced, running, leftOut } = lives;
  return (
    <>
      <p>{tell(message('desk-advice-lives', { total, failed, replaced, running }))}</p>
      {leftOut.map(({ reason, count, detail }) => (
        <p key={reason} class="faint">
          {tell(message('desk-advice-left-out', { count, why: detail.text }))}
        </p>
      ))}
    </>
  );
}

/** The answer in the service's words, the curve, the plans, and what it rests on. */
function Answered({ advice, part, reload }: { advice: Advice; part: string; reload: () => void }) {
  const { status, costCurve, refusals, cautions, basis } = advice;
  const known = new Set(advice.advice.map(({ text }) => text));
  const others = refusals.filter(({ detail: { text } }) => !known.has(text));
  return (
    <>
      <section class={status}>
        <h2>{tell(message(status === 'advised' ? 'desk-advice-advised' : 'desk-advice-refused'))}</h2>
        {advice.advice.map(({ code, text }, index) => (
          <p key={`${code} ${index}`}>{text}</p>
        ))}
        {others.map(({ code, detail }) => (
          <p key={code}>{detail.text}</p>
        ))}
        <Lives lives={advice.lives} />
      </section>
      {costCurve !== null && <CostCurve advice={advice} curve={costCurve} />}
      <Plans {...{ advice, part, reload }} />
      <section>
        <h2>{tell(message('desk-advice-cautions'))}</h2>
        <ul class="dots">
          {cautions.map(({ code, text }) => (
            <li key={code}>{text}</li>
          ))}
        </ul>
      </section>
      <details>
        <summary>{tell(message('desk-advice-basis'))}</summary>
        <ul class="dots">
          {basis.map(({ code, text }) => (
            <li key={code}>{text}</li>
          ))}
        </ul>
      </details>
    </>
  );
}

/** What the fleet's own failures say of one part. */
export function OnePart({ component }: { component: string }) {
  const [asked, ask] = useSearchParams();
  const values = Object.fromEntries(NAMES.map((name) => [name, asked.get(name) ?? ''])) as Values;
  const given = Object.fromEntries(Object.entries(values).filter(([, value]) => value !== ''));
  const { state, reload } = useLoaded(
    async (client, signal) => {
      const query = { component: component as Component, ...given };
      return (await client.get('/v1/interval-advice', { query, signal })).data;
    },
    [component, ...NAMES.map((name) => values[name])],
  );
  const askFor = (changes: Partial<Values>): void => {
    const next = new URLSearchParams(asked);
    for (const [name, value] of Object.entries(changes))
      if (value === '') next.delete(name);
      else next.set(name, value);
    ask(next, { replace: true });
  };
  const part = partInWords(component, values.item);
  const { value } = state;
  return (
    <div class="advice-view">
      <Heading>{part}</Heading>
      <p>
        <Link href="/advice">{tell(message('desk-advice-back'))}</Link>
      </p>
      <Question {...{ values }} problem={value.is === 'failed' ? value.problem : null} onAsk={askFor} />
      <Shown state={state} again={reload}>
        {(advice) => <Answered {...{ advice, part, reload }} />}
      </Shown>
    </div>
  );
}
