import { useId } from 'preact/hooks';
import type { ComponentChildren } from 'preact';
import type { Unit } from '../../../../../../src/domain/quantities/units.js';
import { unitInWords } from '../../../../../../src/domain/quantities/wording.js';
import { tell } from '../../../kit/texts/tell.js';
import { message } from '../../words/messages.js';

/** One of a few, as large buttons. The one that is chosen is let go by another tap. */
export function Choice({
  label,
  options,
  chosen,
  onChoose,
}: {
  label: string;
  options: readonly { value: string; name: string }[];
  chosen: string;
  onChoose: (value: string) => void;
}) {
  const id = useId();
  return (
    <div role="group" class="choice" aria-labelledby={id}>
      <span id={id} class="label">
        {label}
      </span>
      <div class="options">
        {options.map(({ value, name }) => (
          <button
            key={value}
            type="button"
            aria-pressed={chosen === value}
            onClick={() => onChoose(chosen === value ? '' : value)}
          >
            {name}
          </button>
        ))}
      </div>
    </div>
  );
}

export function YesNo({
  label,
  chosen,
  onChoose,
}: {
  label: string;
  chosen: string;
  onChoose: (value: string) => void;
}) {
  const options = [
    { value: 'yes', name: tell(message('phone-yes')) },
    { value: 'no', name: tell(message('phone-no')) },
  ];
  return <Choice label={label} options={options} chosen={chosen} onChoose={onChoose} />;
}

/** The keypads of some phones have no minus; temperatures need one. */
function Minus({ text, onText }: { text: string; onText: (text: string) => void }) {
  const turned = text.startsWith('-') ? text.slice(1) : `-${text}`;
  return (
    <button
      type="button"
      class="minus"
      aria-label={tell(message('phone-minus'))}
      onClick={() => onText(turned)}
    >
      ±
    </button>
  );
}

/** The unit on the gauge. */
function UnitChoice({
  label,
  unit,
  units,
  onUnit,
}: {
  label: string;
  unit: Unit | undefined;
  units: readonly Unit[];
  onUnit: ((unit: Unit) => void) | undefined;
}) {
  if (unit === undefined || units.length === 0) return null;
  if (units.length === 1) return <span class="only-unit">{unitInWords(unit)}</span>;
  return (
    <select
      aria-label={tell(message('phone-unit-of', { name: label }))}
      value={unit}
      onChange={({ currentTarget }) => onUnit?.(currentTarget.value as Unit)}
    >
      {units.map((one) => (
        <option key={one} value={one}>
          {unitInWords(one)}
        </option>
      ))}
    </select>
  );
}

/** A number on the large keypad, with the unit of the gauge. */
export function Amount({
  label,
  text,
  onText,
  unit,
  units = [],
  onUnit,
  isSigned = false,
  isWrong = false,
  describedBy,
  children,
}: {
  label: string;
  text: string;
  onText: (text: string) => void;
  unit?: Unit;
  units?: readonly Unit[];
  onUnit?: (unit: Unit) => void;
  isSigned?: boolean;
  isWrong?: boolean;
  describedBy?: string;
  children?: ComponentChildren;
}) {
  const id = useId();
  return (
    <div class="amount">
      <label for={id}>{label}</label>
      <div class="entry">
        {isSigned && <Minus text={text} onText={onText} />}
        <input
          id={id}
          type="text"
          inputMode="decimal"
          autocomplete="off"
          enterkeyhint="next"
          value={text}
          aria-invalid={isWrong}
          aria-describedby={describedBy}
          onInput={({ currentTarget }) => onText(currentTarget.value)}
        />
        <UnitChoice label={label} unit={unit} units={units} onUnit={onUnit} />
      </div>
      {children}
    </div>
  );
}

export function Words({
  label,
  text,
  onText,
  isLong = false,
}: {
  label: string;
  text: string;
  onText: (text: string) => void;
  isLong?: boolean;
}) {
  const id = useId();
  return (
    <div class="words">
      <label for={id}>{label}</label>
      {isLong ? (
        <textarea
          id={id}
          rows={3}
          value={text}
          onInput={({ currentTarget }) => onText(currentTarget.value)}
        />
      ) : (
        <input
          id={id}
          type="text"
          autocomplete="off"
          value={text}
          onInput={({ currentTarget }) => onText(currentTarget.value)}
        />
      )}
    </div>
  );
}

export function Tick({
  isTicked,
  onTick,
  children,
}: {
  isTicked: boolean;
  onTick: (isTicked: boolean) => void;
  children: ComponentChildren;
}) {
  return (
    <label class="tick">
      <input
        type="checkbox"
        checked={isTicked}
        onChange={({ currentTarget }) => onTick(currentTarget.checked)}
      />
      <span>{children}</span>
    </label>
  );
}
