import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';

/** A button. While `blocked` it stays focusable, and screen readers read the reason. */
export function Button({
  children,
  onClick,
  kind = '',
  blocked,
  type = 'button',
}: {
  children: ComponentChildren;
  onClick?: () => void;
  kind?: 'main' | 'main stop' | 'plain' | '';
  /** Why the button does nothing at the moment. */
  blocked?: string | null | undefined;
  type?: 'button' | 'submit';
}) {
  const id = useId();
  return (
    <>
      <button
        type={type}
        class={`button ${kind}`}
        aria-disabled={blocked ? true : undefined}
        aria-describedby={blocked ? id : undefined}
        onClick={() => {
          if (!blocked) onClick?.();
        }}
      >
        {children}
      </button>
      {blocked && (
        <span class="visually-hidden" id={id}>
          {blocked}
        </span>
      )}
    </>
  );
}
