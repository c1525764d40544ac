import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { useLocation, useParams } from 'wouter-preact';
import { Fault } from '../../kit/parts/fault.js';
import { Heading } from '../../kit/parts/shell.js';
import { tell } from '../../kit/texts/tell.js';
import { type FoundByLabel, vehicleOfLabel } from '../loading/labels.js';
import { CameraError } from '../scan/camera.js';
import { readLabelText } from '../scan/label-text.js';
import { scan } from '../scan/scanning.js';
import { who } from '../signed-in/who.js';
import { message } from '../words/messages.js';
import { TypedNumber } from './parts/search.js';

/** What the scan has come to. */
type Scanned =
  | { is: 'starting' | 'looking' | 'asking' | 'not-a-label' }
  | { is: Exclude<FoundByLabel['is'], 'found'> }
  | { is: 'failed'; fault: unknown };

const TOLD = {
  starting: () => message('phone-scan-starting'),
  looking: () => message('phone-scan-looking'),
  asking: () => message('phone-scan-asking'),
  'not-a-label': () => message('phone-scan-not-a-label'),
  unknown: () => message('phone-scan-not-of-fleet'),
  'not-kept': () => message('phone-scan-not-kept'),
};

function Outcome({ scanned }: { scanned: Scanned }) {
  if (scanned.is === 'failed') {
    const { fault } = scanned;
    if (!(fault instanceof CameraError)) return <Fault problem={fault} />;
    return (
      <p class="fault" role="alert">
        {tell(message(`phone-camera-${fault.fault}`))}
      </p>
    );
  }
  const isUnderWay = ['starting', 'looking', 'asking'].includes(scanned.is);
  return (
    <p role="status" class={isUnderWay ? undefined : 'fault'}>
      {tell(TOLD[scanned.is]())}
    </p>
  );
}

/** Opens the vehicle of a code, or says why not. */
function useOpening(show: (scanned: Scanned) => void): (text: string) => Promise<void> {
  const [, go] = useLocation();
  return async (text) => {
    const labelled = readLabelText(text);
    if (labelled === null) return show({ is: 'not-a-label' });
    if (labelled.is === 'vehicle') return go(`/v/${labelled.id}`, { replace: true });
    show({ is: 'asking' });
    try {
      const found = await vehicleOfLabel(who.peek()?.key ?? '', labelled.code);
      if (found.is === 'found') go(`/v/${found.vehicleId}`, { replace: true });
      else show(found);
    } catch (fault) {
      show({ is: 'failed', fault });
    }
  };
}

/** Scans the label on a vehicle and opens the vehicle. Its number can be typed instead. */
export function Scan() {
  const video = useRef<HTMLVideoElement>(null);
  const scanned = useSignal<Scanned>({ is: 'starting' });
  const open = useOpening((next) => (scanned.value = next));
  useEffect(() => {
    const ending = new AbortController();
    const { signal } = ending;
    if (video.current === null) return;
    scan(video.current, signal, {
      onPicture: () => (scanned.value = { is: 'looking' }),
      onCode: (text) => void open(text),
    }).catch((fault: unknown) => {
      if (!signal.aborted) scanned.value = { is: 'failed', fault };
    });
    return () => ending.abort();
  }, []);
  const hasPicture = scanned.value.is !== 'starting' && scanned.value.is !== 'failed';
  return (
    <>
      <Heading>{tell(message('phone-scan'))}</Heading>
      <Outcome scanned={scanned.value} />
      <video ref={video} class="camera" hidden={!hasPicture} muted playsInline aria-hidden="true" />
      <TypedNumber />
    </>
  );
}

/** The address on a label, opened by who is signed in: leads on to the vehicle. */
export function Labelled() {
  const { code } = useParams<{ code: string }>();
  const scanned = useSignal<Scanned>({ is: 'asking' });
  const open = useOpening((next) => (scanned.value = next));
  useEffect(() => void open(`/l/${code}`), [code]);
  return (
    <>
      <Heading>{tell(message('phone-scan'))}</Heading>
      <Outcome scanned={scanned.value} />
      <TypedNumber />
    </>
  );
}
