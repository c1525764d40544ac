/** A choice among some, as a filter has it. */
export function Choice({
  label,
  choices,
  value,
  onChoose,
}: {
  label: string;
  choices: readonly { value: string; text: string }[];
  value: string;
  onChoose: (value: string) => void;
}) {
  return (
    <label>
      <span>{label}</span>
      <select value={value} onChange={({ currentTarget }) => onChoose(currentTarget.value)}>
        {choices.map((choice) => (
          <option key={choice.value} value={choice.value}>
            {choice.text}
          </option>
        ))}
      </select>
    </label>
  );
}
