import { type FormEvent, useState } from 'react';

/** Gives a reference a name, so that next time one tap is enough. */
export const RememberForm = ({
  what,
  onRemember,
}: {
  readonly what: string;
  readonly onRemember: (name: string) => void;
}) => {
  const [name, setName] = useState('');
  const submit = (event: FormEvent): void => {
    event.preventDefault();
    if (name.trim()) onRemember(name.trim());
  };
  return (
    <form className="field" onSubmit={submit}>
      <label htmlFor="remember-name">Remember this {what} as</label>
      <div className="field-row">
        <input
          id="remember-name"
          value={name}
          placeholder="my green mat"
          autoComplete="off"
          onChange={(event) => setName(event.target.value)}
        />
        <button type="submit" className="button" disabled={!name.trim()}>
          Remember
        </button>
      </div>
    </form>
  );
};
