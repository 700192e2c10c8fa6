package main

import "github.com/spf13/cobra"

func newCraft() *cobra.Command { return &cobra.Command{Use: "craft"} }
