import { momentInWords } from '../../../kit/texts/dates.js';
import { tell } from '../../../kit/texts/tell.js';
import type { Defect, LossAlert, Vehicle } from '../types.js';
import { message } from '../words/messages.js';
import { inCircuit, named, quantityInWords } from '../words/words.js';
import type { LoadedVehicle } from './load-vehicle.js';
import { Listed, Section } from './section.js';

/** What stands above all else on the page of a vehicle that was released with failed tests. */
export function ReleasedNote({ vehicle, timeZone }: { vehicle: Vehicle; timeZone: string }) {
  const { releasedWithFindings } = vehicle;
  if (releasedWithFindings === null) return null;
  return (
    <section class="fault" role="alert" aria-labelledby="released">
      <h2 id="released">{tell(message('desk-vehicles-released'))}</h2>
      <ul class="dots">
        {releasedWithFindings.findings.map(({ readingId, what, until, takenAt, reasons }) => (
          <li key={readingId}>
            <strong>{what.text}</strong> ({momentInWords(takenAt, timeZone)}):{' '}
            {reasons.map(({ text }) => text).join(' ')}{' '}
            {tell(message('desk-vehicle-keep-parked', { until: until.text }))}
          </li>
        ))}
      </ul>
    </section>
  );
}

const cautionsOf = ({ cautions }: LossAlert): string[] => cautions.map(({ text }) => text);

function Alert({
  alert,
  saidBefore,
  timeZone,
}: {
  alert: LossAlert;
  /** The cautions that stand above all alerts. */
  saidBefore: readonly string[];
  timeZone: string;
}) {
  const { status, shelvedUntil, returned, evidence, standing } = alert;
  const at = momentInWords(alert.raisedAt, timeZone);
  const shelved = shelvedUntil === null ? '' : momentInWords(shelvedUntil, timeZone);
  return (
    <li class="open-item">
      <h3>{inCircuit(named(`alert-${alert.kind}`), alert.circuit)}</h3>
      <p>
        {tell(message('desk-vehicle-alert-since', { at }))}{' '}
        {status === 'acknowledged' && tell(message('desk-vehicle-alert-acknowledged'))}
        {status === 'shelved' && tell(message('desk-vehicle-alert-shelved', { until: shelved }))}
        {returned && ` ${tell(message('desk-vehicle-alert-returned'))}`}
        {!standing && ` ${tell(message('desk-vehicle-alert-withdrawn'))}`}
      </p>
      <Listed
        title={tell(message('desk-vehicle-check-next'))}
        texts={alert.checkNext.map(({ text }) => text)}
      />
      <Listed
        title={tell(message('desk-vehicle-evidence'))}
        texts={evidence.map((one) => `${momentInWords(one.at, timeZone)}: ${one.message.text}`)}
      />
      <Listed
        title={tell(message('desk-vehicle-cautions'))}
        texts={cautionsOf(alert).filter((caution) => !saidBefore.includes(caution))}
      />
    </li>
  );
}

export function Alerts({ alerts, timeZone }: { alerts: readonly LossAlert[]; timeZone: string }) {
  const [first = [], ...others] = alerts.map(cautionsOf);
  // Said once where they are the same for all.
  const shared = first.filter((caution) => others.every((cautions) => cautions.includes(caution)));
  return (
    <Section title={tell(message('desk-vehicle-alerts'))}>
      <Listed title={tell(message('desk-vehicle-cautions'))} texts={shared} />
      {alerts.length === 0 && <p>{tell(message('desk-vehicle-no-alerts'))}</p>}
      <ul>
        {alerts.map((alert) => (
          <Alert key={alert.id} {...{ alert, timeZone }} saidBefore={shared} />
        ))}
      </ul>
    </Section>
  );
}

function Report({ defect, timeZone }: { defect: Defect; timeZone: string }) {
  const at = momentInWords(defect.reportedAt, timeZone);
  const by = defect.reportedBy;
  return (
    <li class="open-item">
      <h3>“{defect.what}”</h3>
      <p>
        {by === null
          ? tell(message('desk-vehicle-reported', { at }))
          : tell(message('desk-vehicle-reported-by', { at, by }))}{' '}
        {tell(message(defect.state === 'reported' ? 'desk-vehicle-undecided' : 'desk-vehicle-decided'))}
      </p>
      <p>{defect.driving.message.text}</p>
      <Listed
        title={tell(message('desk-vehicle-cautions'))}
        texts={defect.cautions.map(({ text }) => text)}
      />
    </li>
  );
}

/** What drivers and mechanics reported as wrong, and nobody has settled. */
export function Reports({ defects, timeZone }: { defects: readonly Defect[]; timeZone: string }) {
  if (defects.length === 0) return null;
  return (
    <Section title={tell(message('desk-vehicle-reports'))}>
      <ul>
        {defects.map((defect) => (
          <Report key={defect.id} {...{ defect, timeZone }} />
        ))}
      </ul>
    </Section>
  );
}

/** Counter readings that are not believed until somebody accepts them. */
export function Held({ held, timeZone }: Pick<LoadedVehicle, 'held'> & { timeZone: string }) {
  if (held.length === 0) return null;
  return (
    <Section title={tell(message('desk-vehicle-held'))}>
      <ul class="dots">
        {held.map(({ id, readAt, odometer, engineHours, detail }) => (
          <li key={id}>
            {momentInWords(readAt, timeZone)}:{' '}
            {[odometer, engineHours]
              .filter((quantity) => quantity != null)
              .map(quantityInWords)
              .join(', ')}
            . {detail?.text}
          </li>
        ))}
      </ul>
    </Section>
  );
}
