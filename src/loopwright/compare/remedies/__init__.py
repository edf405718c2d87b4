"""What would make a design safe? Changes that laws ask for, each designed, proved and priced."""
