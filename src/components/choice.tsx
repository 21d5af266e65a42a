import { useId } from 'preact/hooks';

interface ChoiceProps<T extends string> {
  legend: string;
  value: T;
  options: readonly { readonly value: T; readonly label: string }[];
  onChoose: (value: T) => void;
  /** Hides the legend visually; screen readers still read it. */
  quiet?: boolean;
}

/** A group of radio buttons. */
export function Choice<T extends string>({
  legend,
  value,
  options,
  onChoose,
  quiet = false,
}: ChoiceProps<T>) {
  const name = useId();
  return (
    <fieldset class="choice">
      <legend class={quiet ? 'visually-hidden' : ''}>{legend}</legend>
      <div class="options">
        {options.map((option) => (
          <label key={option.value}>
            <input
              type="radio"
              name={name}
              value={option.value}
              checked={option.value === value}
              onChange={() => onChoose(option.value)}
            />
            {option.label}
          </label>
        ))}
      </div>
    </fieldset>
  );
}
