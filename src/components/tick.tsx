interface TickProps {
  checked: boolean;
  onChange: (checked: boolean) => void;
  label: string;
  why?: string | undefined;
  must?: boolean;
}

/** A checkbox with its label and the reason for it. */
export function Tick({ checked, onChange, label, why, must = false }: TickProps) {
  return (
    <label class="tick">
      <input type="checkbox" checked={checked} onChange={(event) => onChange(event.currentTarget.checked)} />
      <span class={must ? 'must' : ''}>{label}</span>
      {why && <span class="why">{why}</span>}
    </label>
  );
}
