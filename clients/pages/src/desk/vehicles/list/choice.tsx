import { useEffect, useRef } from 'preact/hooks';

const TYPING_MS = 300;

/** A field to choose one of some. */
export function Choice({
  label,
  choices,
  value,
  onChoose,
}: {
  label: string;
  choices: readonly (readonly [value: string, text: string])[];
  value: string;
  onChoose: (value: string) => void;
}) {
  return (
    <label>
      <span>{label}</span>
      <select value={value} onChange={({ currentTarget }) => onChoose(currentTarget.value)}>
        {choices.map(([one, text]) => (
          <option key={one} value={one}>
            {text}
          </option>
        ))}
      </select>
    </label>
  );
}

/** A field to search by, taken after a pause in typing. */
export function SearchField({
  label,
  hint,
  value,
  onType,
}: {
  label: string;
  hint: string;
  value: string;
  onType: (value: string) => void;
}) {
  const field = useRef<HTMLInputElement>(null);
  const timer = useRef<ReturnType<typeof setTimeout>>();
  // Other filters may have changed since the last key.
  const latest = useRef(onType);
  latest.current = onType;
  useEffect(() => () => clearTimeout(timer.current), []);
  useEffect(() => {
    // What is being typed is not taken from under the fingers.
    if (field.current !== null && document.activeElement !== field.current) field.current.value = value;
  }, [value]);
  const type = (typed: string): void => {
    clearTimeout(timer.current);
    timer.current = setTimeout(() => latest.current(typed.trim()), TYPING_MS);
  };
  return (
    <label>
      <span>{label}</span>
      <input
        ref={field}
        type="search"
        maxLength={60}
        autocomplete="off"
        spellcheck={false}
        placeholder={hint}
        defaultValue={value}
        onInput={({ currentTarget }) => type(currentTarget.value)}
      />
    </label>
  );
}
