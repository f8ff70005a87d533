import { useState } from 'react';
import { useLocation } from 'wouter';
import { sentenceOf } from '../../../ui/sentenceOf';
import type { OpenMachine } from '../openMachine';
import { ProfileForm } from './ProfileForm';

/** What is said about a machine, to be corrected; and the way to delete it. */
export const ProfilePage = ({ open }: { readonly open: OpenMachine }) => {
  const { shop, machine } = open;
  const [, navigate] = useLocation();
  const [refusal, setRefusal] = useState<string | null>(null);
  const remove = async (): Promise<void> => {
    try {
      const stays = await shop.remove(machine.id);
      if (stays === null) navigate('/machine');
      else setRefusal(stays);
    } catch (error) {
      setRefusal(sentenceOf(error));
    }
  };
  return (
    <section className="stack" aria-label="Profile">
      <ProfileForm
        storage={open.storage}
        machine={machine}
        action="Save the profile"
        onSaved={() => undefined}
      >
        <button type="button" className="button" onClick={() => void remove()}>
          Delete the machine
        </button>
      </ProfileForm>
      {refusal && (
        <p className="note note--problem" role="alert">
          {refusal}
        </p>
      )}
    </section>
  );
};
