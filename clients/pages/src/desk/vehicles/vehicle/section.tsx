import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';

/** A part of the page with its heading, which names it. */
export function Section({ title, children }: { title: string; children: ComponentChildren }) {
  const id = useId();
  return (
    <section aria-labelledby={id}>
      <h2 id={id}>{title}</h2>
      {children}
    </section>
  );
}

/** Texts below each other, with what they are; nothing where there are none. */
export function Listed({ title, texts }: { title: string; texts: readonly string[] }) {
  if (texts.length === 0) return null;
  return (
    <>
      <p class="list-name">{title}</p>
      <ul class="dots">
        {texts.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    </>
  );
}
