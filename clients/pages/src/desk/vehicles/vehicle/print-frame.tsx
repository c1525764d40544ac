import { useRef } from 'preact/hooks';
import { Shown } from '../../../kit/parts/loading.js';
import { useLoaded } from '../../../kit/service/loaded.js';
import type { WeepholeClient } from '../../../../../typescript/src/client.js';
import { tell } from '../../../kit/texts/tell.js';
import { message } from '../words/messages.js';

/**
 * A page to print, in a frame of its own in which nothing runs.
 *
 * @param load gets the page
 * @param dependsOn changes when another page is to be loaded
 */
export function PrintFrame({
  title,
  load,
  dependsOn,
}: {
  title: string;
  load: (client: WeepholeClient, signal: AbortSignal) => Promise<string>;
  dependsOn: readonly unknown[];
}) {
  const frame = useRef<HTMLIFrameElement>(null);
  const { state, reload } = useLoaded(load, dependsOn);
  // As tall as the page, so that nobody scrolls a page within a page.
  const fit = (): void => {
    const height = frame.current?.contentDocument?.documentElement.scrollHeight ?? 0;
    if (frame.current !== null && height > 0) frame.current.style.height = `${height + 4}px`;
  };
  return (
    <Shown state={state} again={reload}>
      {(page) => (
        <>
          <p>
            <button type="button" onClick={() => frame.current?.contentWindow?.print()}>
              {tell(message('desk-vehicle-print'))}
            </button>
          </p>
          <iframe
            ref={frame}
            class="to-print"
            title={title}
            sandbox="allow-same-origin allow-modals"
            srcdoc={page}
            onLoad={fit}
          />
        </>
      )}
    </Shown>
  );
}
