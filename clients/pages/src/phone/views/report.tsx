import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { useLocation, useParams, useSearchParams } from 'wouter-preact';
import { Fault } from '../../kit/parts/fault.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { reader, tell } from '../../kit/texts/tell.js';
import { beginDraft, type Draft, reportOf, sentReadings } from '../draft/draft.js';
import { contextOf, type KnownVehicle } from '../known/known-vehicle.js';
import { furtherReading } from '../known/asked-readings.js';
import { loadVehicle } from '../loading/load-vehicle.js';
import { finish } from '../outbox/outbox.js';
import { who } from '../signed-in/who.js';
import { keepDraft, keptDraft } from '../store/drafts.js';
import type { OutboxEntry } from '../store/entries.js';
import { draftPhotos, entryOf, newId, StoreFullError } from '../store/outbox.js';
import { message } from '../words/messages.js';
import { READING_KINDS } from '../../../../../src/domain/readings/kinds.js';
import { Check } from './parts/check.js';
import { Choice, Words } from './parts/controls.js';
import { DraftLines } from './parts/draft-lines.js';
import { FaultOf, Refused } from './parts/faults.js';
import { Age } from './parts/frame.js';
import { Photos } from './parts/photos.js';
import { ReadingGroup } from './parts/reading-group.js';
import { RefusedFields } from './parts/refused.js';
import { Usage } from './parts/usage.js';

interface Editing {
  draft: Draft;
  change: (changed: Partial<Draft>) => void;
}

function Readings({ draft, change, vehicle }: Editing & { vehicle: KnownVehicle }) {
  const sent = sentReadings(draft);
  const places = new Map(sent.map(({ key }, index) => [key, `/readings/${index}`]));
  return (
    <section>
      <h2>{tell(message('phone-readings'))}</h2>
      <p class="faint">{tell(message('phone-verdict-of-phone'))}</p>
      {draft.readings.map((reading) => (
        <ReadingGroup
          key={reading.key}
          reading={reading}
          sentAs={places.get(reading.key)}
          all={draft.readings}
          contextIn={(circuit) => contextOf(vehicle, circuit)}
          change={(changed) =>
            change({ readings: draft.readings.map((one) => (one.key === changed.key ? changed : one)) })
          }
        />
      ))}
      <label for="further-reading">{tell(message('phone-further-reading'))}</label>
      <select
        id="further-reading"
        value=""
        onChange={({ currentTarget }) => {
          const kind = READING_KINDS.find((known) => known === currentTarget.value);
          if (kind) change({ readings: [...draft.readings, furtherReading(kind, draft.readings)] });
          currentTarget.value = '';
        }}
      >
        <option value="">{tell(message('phone-choose'))}</option>
        {READING_KINDS.map((kind) => (
          <option key={kind} value={kind}>
            {tell({ code: `reading-${kind}`, values: {} })}
          </option>
        ))}
      </select>
    </section>
  );
}

function Ending({ draft, change }: Editing) {
  const released = (['yes', 'with-limits', 'no'] as const).map((value) => ({
    value,
    name: tell(message(`phone-released-${value}`)),
  }));
  return (
    <section>
      <h2>{tell(message('phone-ending'))}</h2>
      <Choice
        label={tell(message('phone-released'))}
        options={released}
        chosen={draft.released}
        onChoose={(value) => change({ released: value as Draft['released'] })}
      />
      <Words
        label={tell(message('phone-performed-by'))}
        text={draft.performedBy}
        onText={(performedBy) => change({ performedBy })}
      />
      <FaultOf at="/performedBy" />
      <Words
        label={tell(message('phone-notes'))}
        text={draft.notes}
        onText={(notes) => change({ notes })}
        isLong
      />
      <FaultOf at="/notes" />
    </section>
  );
}

/** Keeps what is typed as it is typed. */
function useDraft(person: string, begun: Draft) {
  const draft = useSignal(begun);
  const isFull = useSignal(false);
  const change = (changed: Partial<Draft>): void => {
    draft.value = { ...draft.value, ...changed };
    keepDraft(person, draft.value).then(
      () => (isFull.value = false),
      () => (isFull.value = true),
    );
  };
  return { draft, change, isFull };
}

/** Says that the report is not kept, before anything is lost. */
function NotKept({ isFull, fault }: { isFull: boolean; fault: unknown }) {
  if (isFull || fault instanceof StoreFullError)
    return (
      <p class="fault" role="alert">
        {tell(message('phone-no-room'))}
      </p>
    );
  return fault === null ? null : <Fault problem={fault} />;
}

/** One screen for the whole report. */
function Screen({
  vehicle,
  begun,
  repaired,
}: {
  vehicle: KnownVehicle;
  begun: Draft;
  repaired: OutboxEntry | null;
}) {
  const person = who.value?.key ?? '';
  const { draft, change, isFull } = useDraft(person, begun);
  const isFinishing = useSignal(false);
  const fault = useSignal<unknown>(null);
  const [, go] = useLocation();
  const send = async (): Promise<void> => {
    isFinishing.value = true;
    try {
      const entry = entryFrom(person, draft.value);
      await finish(entry);
      go(`/sent/${entry.id}`);
    } catch (problem) {
      fault.value = problem;
      isFinishing.value = false;
    }
  };
  const editing = { draft: draft.value, change };
  return (
    <Refused.Provider value={repaired?.problem?.errors ?? []}>
      <form class="report" onSubmit={(event) => event.preventDefault()}>
        <Heading>{tell(message('phone-report-of', { unitNumber: draft.value.unitNumber }))}</Heading>
        {repaired?.problem && <RefusedFields problem={repaired.problem} draft={repaired.draft} />}
        <DraftLines {...editing} />
        <Usage {...editing} card={vehicle.card} />
        <Readings {...editing} vehicle={vehicle} />
        <Photos keptFor={draftPhotos(person, draft.value.vehicleId)} />
        <Ending {...editing} />
        <NotKept isFull={isFull.value} fault={fault.value} />
        <Check
          draft={draft.value}
          vehicle={vehicle}
          isFinishing={isFinishing.value}
          onSend={() => void send()}
        />
      </form>
    </Refused.Provider>
  );
}

/** A finished report. It was done now, whenever it is sent. */
function entryFrom(person: string, draft: Draft): OutboxEntry {
  const now = new Date().toISOString();
  const id = draft.repairs?.id ?? newId();
  const report = reportOf(draft, id, draft.repairs?.performedAt ?? now);
  return {
    ...{ id, who: person, unitNumber: draft.unitNumber, finishedAt: report.performedAt, report, draft },
    ...{ state: 'waiting', problem: null, answer: null, sentAt: null, heldUntil: null },
  };
}

async function begin(person: string, vehicleId: string, repairs: string | null) {
  const known = await loadVehicle(person, vehicleId);
  const repaired = repairs === null ? null : await entryOf(person, repairs);
  const fresh = beginDraft(known.value.card, reader.peek().units, who.peek()?.name ?? '');
  if (repaired?.state === 'refused') {
    const { id, report, draft } = repaired;
    const begun: Draft = { ...draft, repairs: { id, performedAt: report.performedAt } };
    return { known, repaired, begun };
  }
  const kept = await keptDraft(person, vehicleId);
  return { known, repaired: null, begun: kept ?? fresh };
}

export function Report() {
  const { id } = useParams<{ id: string }>();
  const [search] = useSearchParams();
  const repairs = search.get('repairs');
  const person = who.value?.key ?? '';
  const { state, reload } = useLoaded(() => begin(person, id, repairs), [person, id, repairs]);
  useEffect(() => scrollTo(0, 0), []);
  return (
    <Shown state={state} again={reload}>
      {({ known, begun, repaired }) => (
        <>
          <Age at={known.at} isOld={known.isOld} />
          <Screen key={`${id} ${repairs}`} vehicle={known.value} begun={begun} repaired={repaired} />
        </>
      )}
    </Shown>
  );
}
