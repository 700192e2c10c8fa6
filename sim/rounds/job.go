package rounds

import (
	"fmt"
	"strings"
)

// Job is what a batch system is asked to do: a matrix in so many shards.
type Job struct {
	Command []string // that flies the matrix, without folder and shard
	Out     string   // folder that all machines share
	Shards  int
}

// Slurm returns a script for sbatch. Tasks whose machine stops are queued again by
// Slurm and go on where they were.
func (j *Job) Slurm() string {
	return fmt.Sprintf(`#!/bin/sh
# Send it off with sbatch, from the folder in which the command below is right. When all
# tasks are over:
#   lapwing merge %[3]s --out %[3]s/merged
# A task takes its shard from the array by itself, and goes on where it stopped when it is
# queued again.
#SBATCH --job-name=lapwing-trials
#SBATCH --array=1-%[1]d
#SBATCH --ntasks=1
#SBATCH --cpus-per-task=1
#SBATCH --requeue
#SBATCH --open-mode=append
exec %[2]s --out %[3]s --workers "${SLURM_CPUS_PER_TASK:-1}"
`, j.Shards, Command(j.Command...), quoted(j.Out))
}

// Kubernetes returns the manifest of an indexed job.
func (j *Job) Kubernetes() string {
	var args strings.Builder
	for _, word := range j.Command[1:] {
		fmt.Fprintf(&args, "            - %q\n", word)
	}
	return fmt.Sprintf(`# Send it off with kubectl apply -f. It expects an image called lapwing with the program
# as its entry point, and a volume claim called lapwing-trials that every node may write.
# A matrix that is no name of the catalogue has to be in the image or on that volume. When
# all tasks are over, where the volume can be seen:
#   lapwing merge /trials/%[2]s --out /trials/%[2]s/merged
apiVersion: batch/v1
kind: Job
metadata:
  name: lapwing-trials
spec:
  completionMode: Indexed
  completions: %[1]d
  parallelism: %[1]d
  backoffLimitPerIndex: 5
  template:
    spec:
      restartPolicy: Never
      containers:
        - name: lapwing
          image: lapwing
          workingDir: /trials
          args:
%[3]s            - "--out"
            - %[2]q
          env:
            - {name: %[4]s, value: "%[1]d"}  # its index comes by itself
          resources:
            requests: {cpu: "1", memory: 256Mi}
          volumeMounts:
            - {name: trials, mountPath: /trials}
      volumes:
        - name: trials
          persistentVolumeClaim: {claimName: lapwing-trials}
`, j.Shards, j.Out, args.String(), CountVariable)
}

// quoted returns a word as a shell reads it back.
func quoted(word string) string {
	plain := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("-_./,+:=", r)
	}
	if word != "" && strings.IndexFunc(word, func(r rune) bool { return !plain(r) }) < 0 {
		return word
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}

// Command joins words to what a shell takes.
func Command(words ...string) string {
	typed := make([]string, len(words))
	for i := range words {
		typed[i] = quoted(words[i])
	}
	return strings.Join(typed, " ")
}
