"""Services that the worksheet and the commands share: editing, the walk, the folder of cases."""
