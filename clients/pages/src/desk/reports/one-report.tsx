import { useSignal } from '@preact/signals';
import { Link } from 'wouter-preact';
import { Mark } from '../../kit/due/strip.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { mayManage } from '../../kit/service/me.js';
import { dayInWords, momentInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { vehicleAddress } from '../addresses.js';
import { quantitiesInWords } from '../quantities.js';
import { Said, useSaid } from '../decide/said.js';
import { message } from './messages.js';
import { Photos } from './photos.js';
import { ReadingItem } from './reading-item.js';
import { VoidReport } from './void-questions.js';
import { lineInWords, reasonInWords, type Report, shapeOf, verdictInWords } from './words.js';

interface Loaded {
  report: Report;
  unit: string;
  timeZone: string;
}

/** Whose, when, by whom, at which counters; whether it still counts. */
function Facts({ report, unit, timeZone }: Loaded) {
  const { performedAt, performedBy, odometer, engineHours, voided, warning, supersededBy, outcome } = report;
  const by = performedBy ?? tell(message('desk-report-nobody'));
  const counters = quantitiesInWords([odometer, engineHours]);
  return (
    <>
      {voided !== null && (
        <p class="fault">
          {tell(
            message('desk-report-voided', {
              ...{ on: momentInWords(voided.at, timeZone), reason: reasonInWords(voided) },
            }),
          )}{' '}
          {supersededBy !== null && tell(message('desk-report-replaced'))}
        </p>
      )}
      {warning !== null && <p class="fault">{warning.text}</p>}
      <p>
        <Mark state={shapeOf(outcome.verdict)} /> <strong>{verdictInWords(outcome.verdict)}</strong>
        {'. '}
        <Link class="unit" href={`~${vehicleAddress(report.vehicleId)}`}>
          {unit}
        </Link>
        {', '}
        {tell(message('desk-report-facts', { on: momentInWords(performedAt, timeZone), by }))}
      </p>
      {counters !== '' && <p>{tell(message('desk-report-counters', { counters }))}</p>}
    </>
  );
}

function Lines({ report: { lines, notes } }: { report: Report }) {
  return (
    <section>
      <h2>{tell(message('desk-report-lines'))}</h2>
      {lines.length === 0 && <p>{tell(message('desk-report-no-lines'))}</p>}
      <ul class="dots">
        {lines.map((line, at) => (
          <li key={at}>{[lineInWords(line), line.partNumber, line.finding].filter(Boolean).join('. ')}</li>
        ))}
      </ul>
      {notes !== null && (
        <p>
          <span class="faint">{tell(message('desk-report-notes'))}</span> {notes}
        </p>
      )}
    </section>
  );
}

function Readings({ report: { readings } }: { report: Report }) {
  return (
    <section>
      <h2>{tell(message('desk-report-readings'))}</h2>
      {readings.length === 0 && <p>{tell(message('desk-report-no-readings'))}</p>}
      <ul>
        {readings.map((reading) => (
          <ReadingItem key={reading.id} reading={reading} />
        ))}
      </ul>
    </section>
  );
}

/** What the report made due, and why. */
function FollowUps({ report: { outcome } }: { report: Report }) {
  if (outcome.followUps.length === 0) return null;
  return (
    <section>
      <h2>{tell(message('desk-report-follow-ups'))}</h2>
      <ul class="dots">
        {outcome.followUps.map((line) => {
          const work = lineInWords(line);
          const due =
            line.dueOn === null
              ? work
              : tell(message('desk-report-due', { work, on: dayInWords(line.dueOn) }));
          return <li key={line.id}>{[due, ...line.causes.map(({ text }) => text)].join(' ')}</li>;
        })}
      </ul>
    </section>
  );
}

function Whole({ loaded, reload }: { loaded: Loaded; reload: () => void }) {
  const isVoiding = useSignal(false);
  const said = useSaid();
  const { report, unit } = loaded;
  const done = (text: string | null): void => {
    isVoiding.value = false;
    if (text === null) return;
    said.say(text);
    reload();
  };
  return (
    <>
      <Said of={said} />
      <Facts {...loaded} />
      <Readings report={report} />
      <FollowUps report={report} />
      <Lines report={report} />
      <Photos report={report} onVoided={done} />
      {report.voided === null && mayManage() && (
        <p>
          <button type="button" onClick={() => (isVoiding.value = true)}>
            {tell(message('desk-report-void'))}
          </button>
        </p>
      )}
      {isVoiding.value && <VoidReport id={report.id} unit={unit} onClose={done} />}
    </>
  );
}

/** One job report: what was done and measured, the verdicts and why, its photos. */
export function OneReport({ id }: { id: string }) {
  const { state, reload } = useLoaded(
    async (client, signal): Promise<Loaded> => {
      const [{ data: report }, { data: me }] = await Promise.all([
        client.get('/v1/job-reports/{id}', { path: { id }, signal }),
        client.get('/v1/me', { signal }),
      ]);
      const path = { id: report.vehicleId };
      const { data: vehicle } = await client.get('/v1/vehicles/{id}', { path, signal });
      return { report, unit: vehicle.unitNumber, timeZone: me.timeZone };
    },
    [id],
  );
  const unit = state.value.value?.unit ?? '…';
  return (
    <div class="report-view">
      <p>
        <Link href="/reports">{tell(message('desk-report-all'))}</Link>
      </p>
      <Heading>{tell(message('desk-report-of', { unit }))}</Heading>
      <Shown state={state} again={reload}>
        {(loaded) => <Whole {...{ loaded, reload }} />}
      </Shown>
    </div>
  );
}
